package hotfolder

import (
	"cmp"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/coverage"
	"bladeline/zones"

	"golang.org/x/text/unicode/norm"
)

// Names tell of which job a file is, and of which ink, by its name alone.
type Names struct {
	patterns []*regexp.Regexp
	inks     []string
}

// NewNames are names as patterns say, regular expressions with a group job and,
// where the name tells it, a group ink; none are the names that programs which
// separate write. inks are known behind a dash, beside those of the process.
func NewNames(patterns, inks []string) (Names, error) {
	n := Names{inks: inks}
	for _, text := range patterns {
		p, err := regexp.Compile(text)
		if err != nil {
			return n, fmt.Errorf("%s: %s; correct it, in the syntax of Go's package regexp", text, strings.TrimPrefix(err.Error(), "error parsing regexp: "))
		}
		if p.SubexpIndex("job") < 0 {
			return n, fmt.Errorf("%s: has no group job; add one, as (?P<job>.+)_(?P<ink>[^_]+)[.]tif", text)
		}
		n.patterns = append(n.patterns, p)
	}
	return n, nil
}

// A Name is what was read off the name of a file.
type Name struct {
	Job string // in Unicode's composed form, whichever the file's name has; "" is no job's
	Ink string // "" where the name does not tell: the file has all inks of the job
	// Given tells that the ink goes by this name, whatever else the file's name and
	// the file may say of it.
	Given bool
	By    string // how the name was read; of no job's, why not
}

// endings are those of names of separations and saved coverage, and pages those of
// files that hold whole pages.
var (
	endings = []string{".tif", ".tiff", ".png", ".cover"}
	pages   = []string{".pdf", ".ps", ".eps"}
)

// isWhole tells whether a file has all of a job, by its ending.
func isWhole(name string) bool { return zones.IsForm(name) || isPages(name) }

func isPages(name string) bool { return slices.Contains(pages, strings.ToLower(path.Ext(name))) }

// unfinished are endings that programs give to files that they are still writing.
var unfinished = []string{".part", ".partial", ".filepart", ".crdownload", ".download", ".tmp", ".temp", ".swp", "~"}

// Read reads the name of a file, with slashes, from the folder on that is watched:
// one in a folder of its own belongs to the job that the folder is called by.
func (n Names) Read(name string) Name {
	folder, base := path.Split(name)
	folder = strings.TrimSuffix(folder, "/")
	lower := strings.ToLower(base)
	ending := path.Ext(lower)
	stem := base[:len(base)-len(ending)]
	switch {
	case strings.HasPrefix(base, ".") || strings.HasPrefix(folder, "."):
		return Name{By: "hidden"}
	case slices.ContainsFunc(unfinished, func(end string) bool { return strings.HasSuffix(lower, end) }):
		return Name{By: "not finished, as its ending says"}
	case strings.Contains(folder, "/"):
		return Name{By: "in a folder within a job's folder"}
	}
	if found, is := n.byPattern(name); is {
		return found
	}
	switch {
	case zones.IsForm(base):
		return Name{Job: jobName(cmp.Or(folder, base[:len(base)-len(zones.FormEnding)])), By: "a form file"}
	case isPages(base):
		return Name{Job: jobName(cmp.Or(folder, stem)), By: "a PDF or PostScript file"}
	case !slices.Contains(endings, ending):
		return Name{By: "neither TIFF, PNG, PDF, PostScript, saved coverage nor a form file"}
	case len(n.patterns) > 0:
		return Name{By: "no pattern matches"}
	}
	return n.usual(folder, stem)
}

// byPattern reads a name by the first pattern that matches all of it.
func (n Names) byPattern(name string) (Name, bool) {
	for i, p := range n.patterns {
		at := p.FindStringSubmatchIndex(name)
		if at == nil || at[0] != 0 || at[1] != len(name) {
			continue
		}
		group := func(of string) string {
			if g := p.SubexpIndex(of); g >= 0 && at[2*g] >= 0 {
				return strings.TrimSpace(name[at[2*g]:at[2*g+1]])
			}
			return ""
		}
		found := Name{Job: jobName(group("job")), Ink: inkCalled(group("ink")), By: fmt.Sprintf("pattern %d", i+1)}
		found.Given = found.Ink != ""
		return found, true
	}
	return Name{}, false
}

var (
	inBrackets = regexp.MustCompile(`(?s)^(.*)\(([^()]+)\)$`)
	behindDot  = regexp.MustCompile(`(?s)^(.*)\.([^.]*[^.0-9][^.]*)$`)
)

// usual reads names as programs that separate write them.
func (n Names) usual(folder, stem string) Name {
	job, ink, by := stem, "", "the whole name, no ink is told"
	if m := inBrackets.FindStringSubmatch(stem); m != nil {
		job, ink, by = m[1], m[2], "JOB(INK)"
	} else if before, behind, is := n.behindDash(stem); is {
		job, ink, by = before, behind, "JOB_INK"
	} else if m := behindDot.FindStringSubmatch(stem); m != nil {
		job, ink, by = m[1], m[2], "JOB.INK"
	}
	if folder != "" {
		job, by = folder, "a folder a job, "+by
		if all, is := n.known(stem); ink == "" && is { // FOLDER/C.tif
			ink, by = all, "a folder a job, INK"
		}
	}
	ink = inkCalled(ink)
	found := Name{Job: jobName(cmp.Or(job, stem)), Ink: ink, By: by}
	found.Given = ink != "" && ink != coverage.InkFromName(stem+".tif")
	return found
}

// behindDash takes the name of a known ink off the end of a stem.
func (n Names) behindDash(stem string) (job, ink string, is bool) {
	for at, r := range stem {
		if r != '_' && r != '-' {
			continue
		}
		if ink, is := n.known(stem[at+1:]); is {
			return stem[:at], ink, true
		}
	}
	return "", "", false
}

// known is an ink of the process or one that was named, as it is called.
func (n Names) known(text string) (string, bool) {
	for _, ink := range n.inks {
		if strings.EqualFold(ink, norm.NFC.String(text)) {
			return ink, true
		}
	}
	return coverage.ProcessInk(text)
}

// inkCalled is the name of an ink of which a file's name may have the letter.
func inkCalled(text string) string {
	if ink, is := coverage.ProcessInk(text); is {
		return ink
	}
	return oneLine(text)
}

// jobName is what a job is called: on one line, composed, and without what parts it
// from the ink.
func jobName(text string) string {
	name := oneLine(text)
	return cmp.Or(strings.TrimRight(name, " _-."), name, "unnamed")
}

// oneLine is a text on one line, in UTF-8 and composed: file systems and programs
// differ in how they write é.
func oneLine(text string) string {
	text = strings.Map(func(r rune) rune {
		if !unicode.IsGraphic(r) || r == utf8.RuneError {
			return ' '
		}
		return r
	}, text)
	return strings.TrimSpace(norm.NFC.String(text))
}
