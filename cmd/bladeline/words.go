package main

import (
	"fmt"
	"strings"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// cures say in this program's flags what to do about errors and warnings of the
// packages, by their codes.
var cures = job.Cures{
	coverage.CodeInkCount: func(any) string {
		return "name every separation, in the file's order, as INK,INK,…=FILE"
	},
	coverage.CodePolarity: func(of any) string {
		shade := of.(coverage.Warning).OtherShade()
		return fmt.Sprintf("look at the file, and if its %s part is the ink, give --ink-is %s", shade, shade)
	},
	job.CodeNoTravel:   job.Always("name their press with --from"),
	job.CodeNoCurve:    job.Always("add one under [curves], or give --curve"),
	job.CodeNoTarget:   func(of any) string { return unstated(of, "--target") },
	job.CodeNoLimit:    func(of any) string { return unstated(of, "--limit") },
	job.CodeUnknownInk: func(of any) string { return "name one of these: " + strings.Join(of.(*job.ChoiceError).Inks, ", ") },
	job.CodeAskedTwice: job.Always("leave one out"),
	job.CodeTwoFilms:   job.Always("leave one out"),
	job.CodeUnplaced:   job.Always("run preset again, or give --lead-edge"),
	job.CodeShippedPress: func(of any) string {
		return "start your own with bladeline press new --from " + of.(*job.ShippedError).Called
	},
	job.CodeShippedCurve: func(of any) string {
		return "start your own with bladeline curve new --from " + of.(*job.ShippedError).Called
	},
	job.CodeShippedTrain:     job.Always("name the press file to write with -o"),
	job.CodeManyPages:        job.Always("choose one, as --pages 1"),
	job.CodeSlow:             job.Always("give it longer with --timeout, or a lower --dpi"),
	job.CodeSeparated:        job.Always("choose another folder with -o, or move the separations there away"),
	ghostscript.CodeMissing:  job.Always("install it: apt-get install ghostscript (on Debian and its relatives), or from ghostscript.com"),
	ghostscript.CodeTooLarge: job.Always("give a lower --dpi"),
	ghostscript.CodeNoPage:   job.Always("correct --pages"),
	job.CodeFewJobs:          job.Always("learn from more, or leave --zeros out"),
	job.CodeUnknownUnit:      func(of any) string { return knownUnits(of.(*job.ChoiceError).Units) },
	job.CodePapers:           job.Always("learn a curve of each: choose one with --paper"),
	job.CodeOneZero:          job.Always("where they are printed from fountains of their own, describe each under [[units]] and learn once more"),
	job.CodePaper:            func(of any) string { return curveOnPaper(of.(*job.PaperError)) },
	zones.CodeNoResolution:   unresolved,
	zones.CodeBadResolution:  unresolved,
	zones.CodeOverfull: func(of any) string {
		return "correct print_length_mm or " + resolutionOf(of.(*zones.OverfullError).InForm)
	},
	zones.CodeInkBeyond:        func(of any) string { return beyondFountain(of.(*zones.InkBeyondError)) },
	job.CodeCoverage:           job.Always("run preset first, and give what it writes"),
	zones.CodeComposite:        job.Always("leave the composite out"),
	zones.CodePiecesResolution: job.Always("leave --dpi out"),
	zones.CodeSameInk:          job.Always("name them apart as INK=FILE"),
	zones.CodeOutside:          job.Always("shorten the form, or correct print_length_mm or --lead-edge"),
	preset.CodeNoLength:        job.Always("name its --press, which states print_length_mm, or run preset again and give its JSON"),
	sheet.CodeOtherForm:        job.Always("place it as it was for the preset, with --lead-edge, --mirrored, --shift, --dpi and --ink-is"),
}

// beyondFountain is what to do about ink beyond the fountain's ends.
func beyondFountain(e *zones.InkBeyondError) string {
	return job.Inward(e) + " or correct " + resolutionOf(e.InForm)
}

// resolutionOf is where a size of rasters is corrected, of a form's file or not.
func resolutionOf(form bool) string {
	if form {
		return "the form's file"
	}
	return "--dpi"
}

// unresolved is where the resolution of a raster is stated.
func unresolved(of any) string {
	if of.(*zones.ResolutionError).InForm {
		return "write its dpi in the form's file"
	}
	return "give --dpi"
}

// unstated is where one states what is known of an ink.
func unstated(of any, flag string) string {
	return fmt.Sprintf("add it under [inks.%s], or give %s", settings.TOMLString(of.(*job.UnstatedError).Ink), flag)
}

// knownUnits says which units of a press there are to name.
func knownUnits(names []string) string {
	if len(names) == 0 {
		return "its file names none; describe each under [[units]]"
	}
	return "name one of these: " + strings.Join(names, ", ")
}

// curveOnPaper is where one says which curve a paper has.
func curveOnPaper(e *job.PaperError) string {
	do := fmt.Sprintf("give --curve, or name its curves in the press's file under [curves.%s]", settings.TOMLKey(e.Paper))
	if len(e.Known) == 0 {
		return do
	}
	return do + "; the papers it names are " + strings.Join(e.Known, ", ")
}

// cureWarnings adds to warnings what to do about them. Those that were read from
// a file have it already.
func cureWarnings(warnings []zones.Warning) { addCures(cures, warnings) }

func addCures(cures job.Cures, warnings []zones.Warning) {
	for i, w := range warnings {
		if cures[w.Code] != nil {
			warnings[i].Text, warnings[i].Facts = cures.CuredText(w.Code, w.Text, w.Facts), nil
		}
	}
}
