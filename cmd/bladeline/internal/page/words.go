package page

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
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
// packages, by their codes.
var cures = job.Cures{
	coverage.CodeInkCount: func(any) string { return "bring the file without names, and name its inks here" },
	coverage.CodePolarity: func(of any) string {
		shade := of.(coverage.Warning).OtherShade()
		return fmt.Sprintf("look at the file, and if its %s part is the ink, start bladeline serve with --ink-is %s", shade, shade)
	},
	zones.CodeNoResolution:  unresolved("state the dots per inch, which then hold for every ink, or take this ink out, or export it with its resolution"),
	zones.CodeBadResolution: unresolved("state the dots per inch"),
	zones.CodeOverfull: func(of any) string {
		return "choose another press, or correct the " + resolutionOf(of.(*zones.OverfullError).InForm)
	},
	zones.CodeInkBeyond: func(of any) string {
		e := of.(*zones.InkBeyondError)
		return job.Inward(e) + ", or correct the zones or the " + resolutionOf(e.OfPieces)
	},
	zones.CodePiecesResolution: job.Always("leave the dots per inch empty"),
	zones.CodeComposite:        job.Always("leave the composite out"),
	zones.CodeSameInk:          job.Always("give one of them another name"),
	zones.CodeOutside:          job.Always("shorten the form, or choose another press or lead edge"),
	preset.CodeNoLength:        job.Always("choose a press that states its print length"),
	sheet.CodeOtherForm:        job.Always("place it as it was for the preset"),
	job.CodeManyPages:          job.Always("choose the page that is the form"),
	job.CodeSlow:               job.Always("separate it with bladeline separate, and bring the separations"),
	ghostscript.CodeMissing:    job.Always("install it on the computer where bladeline serve runs, as with apt-get install ghostscript, and bring the file again"),
	ghostscript.CodeTooLarge:   job.Always("separate it at a lower resolution with bladeline separate --dpi, and bring the separations"),
	ghostscript.CodeNoPage:     job.Always("correct the page"),
	job.CodePaper: func(of any) string {
		e := of.(*job.PaperError)
		do := fmt.Sprintf("choose another curve there, or name its curves in the press's file under [curves.%s]", settings.TOMLKey(e.Paper))
		if len(e.Known) == 0 {
			return do
		}
		return do + "; the papers it names are " + strings.Join(e.Known, ", ")
	},
}

// resolutionOf is where a size is corrected: of a form of several pieces, which have
// resolutions of their own, or of a raster.
func resolutionOf(pieces bool) string {
	if pieces {
		return "form's file"
	}
	return "dots per inch"
}

// unresolved is where the resolution of a raster is stated: here, unless it is a
// piece's.
func unresolved(here string) func(any) string {
	return func(of any) string {
		if of.(*zones.ResolutionError).InForm {
			return "write its dpi in the form's file"
		}
		return here
	}
}

// cured is what an error says, with what to do about it.
func cured(err error) string { return cures.Cured(err).Error() }

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
	what = strings.TrimSpace(tidied(what))
	first, size := utf8.DecodeRuneInString(what)
	if size > 0 {
		what = string(unicode.ToUpper(first)) + what[size:]
	}
	return strings.TrimSuffix(what, ".") + "."
}

// tidied is a text that may stem from a client, on one line and no longer than a
// refusal may be.
func tidied(s string) string { return firstOf(settings.Printable(s), 600) }

// firstOf is the beginning of a text.
func firstOf(s string, runes int) string {
	for i := range s {
		if runes--; runes < 0 {
			return s[:i]
		}
	}
	return s
}
