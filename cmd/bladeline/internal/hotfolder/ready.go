package hotfolder

import (
	"slices"
	"strings"
	"time"
)

// A stage is how far a job has come.
type stage string

const (
	arriving stage = "arriving" // its files may still change
	ready    stage = "ready"    // and waits for its turn
	waiting  stage = "waiting"  // for inks, or for the files that its form file names
	running  stage = "running"
	held     stage = "held"    // cannot be written, and is tried again
	failed   stage = "failed"  // until its files change
	settled  stage = "settled" // done, likewise
)

// A pending job is one whose files lie in the folder. Times are the program's own:
// the clock may be set, and those of file systems differ.
type pending struct {
	name    string
	files   []file
	missing []string  // names that its form file names, and are not there
	since   time.Time // when its files last changed, as far as was seen
	stage   stage

	told     string    // what was last said of what it waits for
	attempts int       // to write what came of it
	next     time.Time // of these
	tooLate  bool      // what is missing was waited for long enough
}

// look is told what of the job is in the folder.
func (p *pending) look(files []file, missing []string, now time.Time) {
	if slices.EqualFunc(p.files, files, file.same) && slices.Equal(p.missing, missing) {
		return
	}
	if p.stage != running { // or it is seen to when the run ends
		p.stage = arriving
	}
	p.files, p.missing, p.since = files, missing, now
	p.told, p.attempts, p.tooLate = "", 0, false
}

// lacks are the inks that the job does not have of those that it must have, and the
// files that its form file names and that are not there. A file that has all inks
// of a job lacks none.
func (p *pending) lacks(inks []string) []string {
	lacking := slices.Clone(p.missing)
	if slices.ContainsFunc(p.files, func(f file) bool { return f.read.HasAllInks() && !f.ofForm }) {
		return lacking
	}
	for _, ink := range inks {
		if !slices.ContainsFunc(p.files, func(f file) bool { return strings.EqualFold(f.read.Ink, ink) }) {
			lacking = append(lacking, ink)
		}
	}
	return lacking
}

// untouched tells whether files have content, and nobody holds them closed to
// others while writing them.
func untouched(l *lister, files []file) bool {
	return !slices.ContainsFunc(files, func(f file) bool { return f.size == 0 || isClosed(l.path(f.name)) })
}
