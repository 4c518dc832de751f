package ghostscript

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"
)

// A talk is what Ghostscript said in one run, as far as it matters.
type talk struct {
	fault    string   // the PostScript error that ended it
	locked   bool     // there is a password
	full     bool     // there is no room on the disk
	merged   bool     // more inks than Ghostscript takes: some went into others
	last     string   // what it said last
	damage   string   // what it mended in a PDF, or left out
	warnings []string // each once
	listing  listing  // what the lines that follow are
}

var (
	faultLine = regexp.MustCompile(`^Error: /(\w+) in (.*)$`)
	substLine = regexp.MustCompile(`^Substituting font (.+) for (.+)\.$`)
	loadsLine = regexp.MustCompile(`^Loading font (.+) \(or substitute\) from (.+)$`)
)

// A listing is what Ghostscript gives a list of.
type listing int

const (
	nothing listing = iota
	damages
	oddities
)

// mostWarnings of one file are enough to see what is wrong with it.
const mostWarnings = 20

func (t *talk) hear(line string) {
	if !strings.HasPrefix(line, "\t") {
		t.listing = nothing
	}
	switch found := faultLine.FindStringSubmatch(line); {
	case found != nil:
		t.fault = found[1]
	case strings.Contains(line, "No space left on device"):
		t.full = true
	case strings.Contains(line, "requires a password"):
		t.locked = true
	case strings.Contains(line, "Max spot colorants reached"):
		t.merged = true
	case strings.Contains(line, "following errors were encountered"):
		t.listing = damages
	case strings.Contains(line, "following warnings were encountered"):
		t.listing = oddities
	case t.listing == damages && t.damage == "":
		t.damage = strings.TrimSpace(line)
	case t.listing == oddities:
		t.warn("Ghostscript says: " + strings.TrimSpace(line))
	case substLine.MatchString(line):
		found := substLine.FindStringSubmatch(line)
		t.substituted(found[2], found[1])
	case loadsLine.MatchString(line):
		found := loadsLine.FindStringSubmatch(line)
		t.substituted(found[1], found[2][strings.LastIndexAny(found[2], `/\`)+1:])
	case strings.TrimSpace(line) != "" && !strings.Contains(line, "Unrecoverable error"):
		t.last = strings.TrimSpace(line)
	}
}

func (t *talk) substituted(font, by string) {
	t.warn(fmt.Sprintf("the font %s is not in the file, and %s stands in for it, whose letters may cover more or less; embed fonts", font, by))
}

func (t *talk) warn(text string) {
	for _, w := range t.warnings {
		if w == text {
			return
		}
	}
	if len(t.warnings) < mostWarnings {
		t.warnings = append(t.warnings, text)
	}
}

const anew = "export it anew from the program that it came from"

// refusal says why a run failed, or why what a run made does not count: nil where
// it does.
func (t *talk) refusal(file string, err error) error {
	switch {
	case err == nil && t.damage == "":
		return nil
	case t.full:
		return &NoRoomError{file}
	case t.locked:
		return &RefusedError{file, "is locked with a password", "save it without one"}
	case t.fault == "invalidfileaccess":
		return &RefusedError{file, "asks for another file, which it may not", "have it exported with all that belongs to it inside"}
	case t.fault == "VMerror":
		return &RefusedError{file, fmt.Sprintf("takes more than %d MB of memory", maxMemoryKB/1000), anew}
	case t.fault == "syntaxerror", t.fault == "" && t.damage != "":
		return &RefusedError{file, "is damaged or cut short (Ghostscript: " + cmp.Or(t.damage, "syntax error") + ")", anew}
	case t.fault != "":
		return &RefusedError{file, "Ghostscript stops at an error in it (/" + t.fault + ")", anew}
	case t.last != "":
		return &RefusedError{file, "Ghostscript fails: " + t.last, anew}
	}
	return &RefusedError{file, fmt.Sprintf("Ghostscript fails (%v)", err), anew}
}
