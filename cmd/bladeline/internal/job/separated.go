package job

import (
	"context"
	"os"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/coverage"
)

// separatedShare is how much of the work of measuring a PDF is its separating.
const separatedShare = 0.9

// An origin is where an input of a reading came from: a page of a PDF, or itself
// where file is "".
type origin struct {
	file string
	page int
	nth  int // ink of the page, counted from 1
}

// separated is the reading with the separations of each PDF or PostScript file in
// its place, tone by tone, in temporary folders that remove removes; and where each
// came from. Tints are then as the file states them.
func (r Reading) separated(ctx context.Context) (reading Reading, from []origin, remove func(), err error) {
	var folders []*temporaryFolder
	remove = func() {
		for _, f := range folders {
			f.remove()
		}
	}
	defer func() {
		if err != nil {
			remove()
		}
	}()
	reading = r
	reading.Inputs = nil
	for i, in := range r.Inputs {
		if r.Separating == nil || !ghostscript.IsJob(in.Path) {
			reading.Inputs, from = append(reading.Inputs, in), append(from, origin{})
			continue
		}
		folder, err := newTemporaryFolder(os.TempDir())
		if err != nil {
			return r, nil, remove, err
		}
		folders = append(folders, folder)
		made, err := r.Separating.into(ctx, folder.path, in.Path, true, r.partly(i))
		if err == nil {
			err = addPlates(&reading.Inputs, &from, in, made.Plates)
		}
		if err != nil {
			return r, nil, remove, err
		}
	}
	if len(folders) > 0 && r.Progress != nil {
		reading.Progress = func(done float64) { r.Progress(separatedShare + (1-separatedShare)*done) }
	}
	return reading, from, remove, nil
}

// partly is the progress of separating one of the inputs.
func (r Reading) partly(i int) func(float64) {
	if r.Progress == nil {
		return nil
	}
	return func(done float64) { r.Progress(separatedShare * (float64(i) + done) / float64(len(r.Inputs))) }
}

// addPlates adds the separations of a file, under the names that were given for it.
func addPlates(inputs *[]coverage.Input, from *[]origin, in coverage.Input, plates []ghostscript.Plate) error {
	if in.Inks != nil && len(in.Inks) != len(plates) {
		return &coverage.InkCountError{File: in.Path, Names: len(in.Inks), Separations: len(plates)}
	}
	nth := map[int]int{}
	for i, p := range plates {
		ink := p.Ink
		if in.Inks != nil {
			ink = in.Inks[i]
		}
		nth[p.Page]++
		*inputs = append(*inputs, coverage.Input{Path: p.Path, Inks: []string{ink}})
		*from = append(*from, origin{in.Path, p.Page, nth[p.Page]})
	}
	return nil
}

// called names Maps after the files that they came from.
func called(maps []*coverage.Map, inputs []coverage.Input, from []origin) {
	places := map[string]origin{}
	for i, in := range inputs {
		if from[i].file != "" {
			places[in.Path] = from[i]
		}
	}
	for _, m := range maps {
		if s, is := places[m.File]; is {
			m.File, m.Page, m.Channel = s.file, s.page, s.nth
		}
	}
}
