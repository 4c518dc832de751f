package job

import (
	"fmt"
	"slices"
	"strings"

	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
)

// other says why a job is none of those that are learned from; empty where it is
// one. A job that does not state its paper may be of any.
func (how Learning) other(p *preset.Preset, run *learn.Run) string {
	paper := p.Run().Paper
	switch {
	case how.Unit != "" && !strings.EqualFold(run.Unit, how.Unit):
		return "it was not run in unit " + how.Unit
	case how.Paper != "" && paper != "" && !strings.EqualFold(paper, how.Paper):
		return "it was run on " + settings.Quoted(paper)
	case how.Paper != "" && paper == "":
		return notStated
	}
	return ""
}

const notStated = "it does not say on what paper it was run; name the file itself if it is the one"

// passOver leaves out a job of a folder that is none of those that are learned
// from. One that is named must be one, and what it does not state is then as the
// command says.
func (l *Lesson) passOver(path, why string, inFolder bool) error {
	if !inFolder {
		return &settings.FileError{File: path, What: why, Do: "leave the file out"}
	}
	if why == notStated {
		l.Doubts = append(l.Doubts, zones.Warning{Ink: l.how.Ink, Text: path + " is skipped: " + why})
	}
	return nil
}

// weighPapers refuses jobs of several papers, whose curve would fit none of them.
func (l *Lesson) weighPapers() error {
	var papers []string // as they are written first
	jobs := map[string]int{}
	for _, paper := range l.papers {
		key := strings.ToLower(paper)
		if jobs[key]++; jobs[key] == 1 && paper != "" {
			papers = append(papers, paper)
		}
	}
	if len(papers) > 1 {
		slices.Sort(papers)
		e := &PapersError{Ink: l.Ink}
		for _, paper := range papers {
			e.Papers, e.Jobs = append(e.Papers, paper), append(e.Jobs, jobs[strings.ToLower(paper)])
		}
		return e
	}
	l.Paper = l.how.Paper
	if len(papers) == 1 && l.Paper == "" {
		l.Paper = papers[0]
	}
	if n := jobs[""]; n > 0 && l.Paper != "" && l.how.Paper == "" {
		l.Doubts = append(l.Doubts, zones.Warning{Ink: l.Ink, Text: fmt.Sprintf("%d of %d jobs do not say on what paper they were run, and count as run on %s", n, len(l.Runs), l.Paper)})
	}
	return nil
}
