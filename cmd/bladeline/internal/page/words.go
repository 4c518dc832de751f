package page

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// The packages below state facts, and the places of files by their keys. This file
// says in the page's words what to do, and where.

// labels are those of the page's fields, by the last name of their place in a
// state.
var labels = map[string]string{
	"base":                "Press",
	"zones":               "Zones",
	"zone_width_mm":       "Zone width, mm",
	"first_zone":          "Zone 1 is at the",
	"blade":               "Blade",
	"neighbour_limit_pct": "Neighbours differ at most, %",
	"lead_edge":           "Lead edge of the file",
	"shift_mm":            "Shift to the right, mm",
	"dpi_x":               "Dots per inch, across",
	"dpi_y":               "Dots per inch, along",
	"shape":               "Between points",
	"reference_sweep":     "Holds at sweep",
}

// cures say by the page's fields what to do about errors and warnings of the
// packages, by their codes. Each is given the error, or the facts of the warning.
var cures = map[string]func(of any) string{
	coverage.CodeInkCount: func(any) string { return "bring the file without names, and name its inks here" },
	coverage.CodePolarity: func(of any) string {
		shade := of.(coverage.Warning).OtherShade()
		return fmt.Sprintf("look at the file, and if its %s part is the ink, start bladeline serve with --ink-is %s", shade, shade)
	},
	zones.CodeNoResolution:  always("state the dots per inch, which then hold for every ink, or take this ink out, or export it with its resolution"),
	zones.CodeBadResolution: always("state the dots per inch"),
	zones.CodeOverfull:      always("choose another press, or correct the dots per inch"),
	zones.CodeInkBeyond:     func(of any) string { return inkBeyond(of.(*zones.InkBeyondError)) },
	zones.CodeSameInk:       always("give one of them another name"),
	zones.CodeOutside:       always("shorten the form, or choose another press or lead edge"),
	preset.CodeNoLength:     always("choose a press that states its print length"),
	sheet.CodeOtherForm:     always("place it as it was for the preset"),
}

func always(cure string) func(any) string { return func(any) string { return cure } }

func inkBeyond(e *zones.InkBeyondError) string {
	switch {
	case e.RightMM == 0:
		return "shift it to the right, or correct the zones or the dots per inch"
	case e.LeftMM == 0:
		return "shift it to the left, or correct the zones or the dots per inch"
	}
	return "take another press, or correct the zones or the dots per inch"
}

// cured is what an error says, with what to do about it.
func cured(err error) string {
	coded, is := errors.AsType[interface {
		error
		Code() string
	}](err)
	if !is || cures[coded.Code()] == nil {
		return err.Error()
	}
	return err.Error() + "; " + cures[coded.Code()](coded)
}

// curedWarning is what a warning says, with what to do about it, given its facts
// where Text lacks that.
func curedWarning(code, text string, facts any) string {
	if cure := cures[code]; cure != nil && facts != nil {
		text += "; " + cure(facts)
	}
	return text
}

// label is what the page calls a place in a press's or curve's file.
func label(place string) string {
	if numbered.MatchString(place) {
		return strings.TrimPrefix(place, "points: ")
	}
	last := place[strings.LastIndexByte(place, '.')+1:]
	if l, known := labels[last]; known {
		return l
	}
	return last
}

var numbered = regexp.MustCompile(`^points: point (\d+)\b`)

// sentence is what is wrong as the page shows it: on one line, from a
// capital letter to a full stop.
func sentence(what string) string {
	what = strings.TrimSpace(oneLine(what))
	first, size := utf8.DecodeRuneInString(what)
	if size > 0 {
		what = string(unicode.ToUpper(first)) + what[size:]
	}
	return strings.TrimSuffix(what, ".") + "."
}

// oneLine keeps what may stem from a client from breaking a line, and bounds it.
func oneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		if !unicode.IsGraphic(r) {
			return ' '
		}
		return r
	}, s)
	return firstOf(s, 600)
}

// firstOf is the beginning of a text.
func firstOf(s string, runes int) string {
	for i := range s {
		if runes--; runes < 0 {
			return s[:i]
		}
	}
	return s
}
