package ghostscript

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
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
	fonts    []font   // that others stand in for, each once: one more than are named
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
		t.substituted(font{found[2], found[1]})
	case loadsLine.MatchString(line):
		found := loadsLine.FindStringSubmatch(line)
		t.substituted(font{found[1], found[2][strings.LastIndexAny(found[2], `/\`)+1:]})
	case strings.TrimSpace(line) != "" && !strings.Contains(line, "Unrecoverable error"):
		t.last = strings.TrimSpace(line)
	}
}

// A font is one that is not in the file.
type font struct{ name, by string }

// mostFonts are named of those that others stand in for.
const mostFonts = 3

func (t *talk) substituted(f font) {
	if len(t.fonts) <= mostFonts && !slices.ContainsFunc(t.fonts, func(known font) bool { return known.name == f.name }) {
		t.fonts = append(t.fonts, f)
	}
}

// warned is all that is to be said of the file: one sentence of its fonts, however
// many are missing, and then what Ghostscript warned of.
func (t *talk) warned() []string {
	if len(t.fonts) == 0 {
		return t.warnings
	}
	return append([]string{missing(t.fonts)}, t.warnings...)
}

func missing(fonts []font) string {
	if len(fonts) == 1 {
		return fmt.Sprintf("the font %s is not in the file, and %s stands in for it, whose letters may cover more or less; embed fonts", fonts[0].name, fonts[0].by)
	}
	var names []string
	for _, f := range fonts[:min(len(fonts), mostFonts)] {
		names = append(names, f.name)
	}
	if len(fonts) > mostFonts {
		names = append(names, "others")
	}
	before, last := names[:len(names)-1], names[len(names)-1]
	return fmt.Sprintf("the fonts %s and %s are not in the file, and the letters of those that stand in for them may cover more or less; embed fonts", strings.Join(before, ", "), last)
}

func (t *talk) warn(text string) {
	if len(t.warnings) < mostWarnings && !slices.Contains(t.warnings, text) {
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
