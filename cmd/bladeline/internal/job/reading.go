package job

import (
	"context"
	"slices"

	"bladeline/coverage"
)

// Reading says which separations are read, and how.
type Reading struct {
	Inputs     []coverage.Input // separations, saved coverage, and form files
	Form       *Form            // where set, how the inputs stand on a sheet; it names them, too
	InkIsLight bool
	Progress   func(done float64) // told from 0 to 1 what is read, by one goroutine at a time; may be nil
	Workers    *coverage.Workers  // shared with other readings; nil is a core each for this one alone
	Separating *Separating        // of PDF and PostScript files; nil refuses them
}

// Maps measures the files, and gives up where ctx ends, its cause the error. Of a
// form it is a Map an ink, with a Sheet.
func (r Reading) Maps(ctx context.Context) ([]*coverage.Map, error) {
	forms, err := r.forms()
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(forms, func(f *Form) bool { return f != nil }) {
		return r.formMaps(ctx, forms)
	}
	r, from, remove, err := r.separated(ctx)
	if err != nil {
		return nil, err
	}
	defer remove()
	maps, err := coverage.MeasureFiles(ctx, r.Inputs, coverage.Options{
		InkIsLight: r.InkIsLight,
		Progress:   r.Progress,
		Workers:    r.Workers,
	})
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	called(maps, r.Inputs, from)
	return maps, err
}

// InksOf are the inks of separations, in their order.
func InksOf(maps []*coverage.Map) []string {
	var inks []string
	for _, m := range maps {
		inks = append(inks, m.Ink)
	}
	return inks
}
