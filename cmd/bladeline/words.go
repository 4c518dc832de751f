package main

import (
	"errors"
	"fmt"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// cures say in this program's flags what to do about errors and warnings of the
// packages, by their codes. Each is given the error, or the facts of the warning.
var cures = map[string]func(of any) string{
	coverage.CodeInkCount: func(any) string {
		return "name every separation, in the file's order, as INK,INK,…=FILE"
	},
	coverage.CodePolarity: func(of any) string {
		shade := of.(coverage.Warning).OtherShade()
		return fmt.Sprintf("look at the file, and if its %s part is the ink, give --ink-is %s", shade, shade)
	},
	job.CodeNoCurve:    say("add one under [curves], or give --curve"),
	job.CodeNoTarget:   func(of any) string { return unstated(of, "--target") },
	job.CodeNoLimit:    func(of any) string { return unstated(of, "--limit") },
	job.CodeUnknownInk: func(of any) string { return "name one of these: " + strings.Join(of.(*job.ChoiceError).Inks, ", ") },
	job.CodeAskedTwice: say("leave one out"),
	job.CodeTwoFilms:   say("leave one out"),
	job.CodeUnplaced:   say("run preset again, or give --lead-edge"),
	job.CodeShippedPress: func(of any) string {
		return "start your own with bladeline press new --from " + of.(*job.ShippedError).Called
	},
	job.CodeShippedCurve: func(of any) string {
		return "start your own with bladeline curve new --from " + of.(*job.ShippedError).Called
	},
	job.CodeFewJobs:         say("learn from more, or leave --zeros out"),
	zones.CodeNoResolution:  say("give --dpi"),
	zones.CodeBadResolution: say("give --dpi"),
	zones.CodeOverfull:      say("correct print_length_mm or --dpi"),
	zones.CodeInkBeyond:     func(of any) string { return inkBeyond(of.(*zones.InkBeyondError)) },
	zones.CodeSameInk:       say("name them apart as INK=FILE"),
	zones.CodeOutside:       say("shorten the form, or correct print_length_mm or --lead-edge"),
	preset.CodeNoLength:     say("name its --press, which states print_length_mm, or run preset again and give its JSON"),
	sheet.CodeOtherForm:     say("place it as it was for the preset, with --lead-edge, --mirrored, --shift, --dpi and --ink-is"),
}

// say says the same, whatever the error is.
func say(cure string) func(any) string { return func(any) string { return cure } }

// unstated is where one states what is known of an ink.
func unstated(of any, flag string) string {
	return fmt.Sprintf("add it under [inks.%s], or give %s", settings.TOMLString(of.(*job.UnstatedError).Ink), flag)
}

// inkBeyond is where to move a form that is too far out.
func inkBeyond(e *zones.InkBeyondError) string {
	switch {
	case e.RightMM == 0:
		return "shift it to the right or correct --dpi"
	case e.LeftMM == 0:
		return "shift it to the left or correct --dpi"
	}
	return "take another press or correct --dpi"
}

// cured is an error with what to do about it.
func cured(err error) error {
	coded, is := errors.AsType[interface {
		error
		Code() string
	}](err)
	if !is || cures[coded.Code()] == nil {
		return err
	}
	return fmt.Errorf("%w; %s", err, cures[coded.Code()](coded))
}

// cureWarnings adds to warnings what to do about them. Those that were read from
// a file have it already.
func cureWarnings(warnings []zones.Warning) {
	for i, w := range warnings {
		if cure := cures[w.Code]; cure != nil && w.Facts != nil {
			warnings[i].Text += "; " + cure(w.Facts)
			warnings[i].Facts = nil
		}
	}
}
