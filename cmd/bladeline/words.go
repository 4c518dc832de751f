package main

import (
	"errors"
	"fmt"

	"bladeline/coverage"
	"bladeline/zones"
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
