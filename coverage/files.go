package coverage

import (
	"context"
	"slices"
	"sync"
	"sync/atomic"
)

// An Input is a file to be measured and, where they are given, the names of
// its inks and the parts of its pages that are taken, as in Options.
type Input struct {
	Path  string
	Inks  []string
	Crops []*Crop
}

// MeasureFiles measures several files and returns their Maps in the files'
// order. All are opened first, so that a wrong name is not found out only after
// the plates before it. Files that cannot keep every core busy, as those of one
// long stream, are read side by side. Of several errors that of the earliest
// file is returned. Options name no inks here; Progress is told of all files
// together.
func MeasureFiles(ctx context.Context, inputs []Input, o Options) ([]*Map, error) {
	maps, err := MeasureEach(ctx, inputs, o)
	if err != nil {
		return nil, err
	}
	return slices.Concat(maps...), nil
}

// MeasureEach is MeasureFiles with the Maps of each file by themselves.
func MeasureEach(ctx context.Context, inputs []Input, o Options) ([][]*Map, error) {
	o.Workers = o.Workers.orOwn()
	files, err := openAll(inputs)
	defer func() {
		for _, f := range files {
			f.Close()
		}
	}()
	if err != nil {
		return nil, err
	}
	maps, errs := measureAll(ctx, files, inputs, o)
	for i := range files {
		if errs[i] != nil {
			return nil, errs[i]
		}
	}
	return maps, nil
}

func openAll(inputs []Input) (files []*File, err error) {
	for _, in := range inputs {
		f, err := Open(in.Path)
		if err != nil {
			return files, err
		}
		files = append(files, f)
	}
	return files, nil
}

// atOnce files are measured side by side: enough that one that ends, or is all
// one part, leaves no core idle, and few enough for what each holds.
const atOnce = 2

// measureAll hands the files out in their order until one fails; those before
// it are then under way and end.
func measureAll(ctx context.Context, files []*File, inputs []Input, o Options) (maps [][]*Map, errs []error) {
	maps, errs = make([][]*Map, len(files)), make([]error, len(files))
	report := newReporter(len(files), o.Progress)
	var next atomic.Int64
	var failed atomic.Bool
	var wait sync.WaitGroup
	for range min(cap(o.Workers.cores), len(files), atOnce) {
		wait.Go(func() {
			for !failed.Load() {
				i := int(next.Add(1)) - 1
				if i >= len(files) {
					return
				}
				one := o
				one.Inks, one.Crops, one.Progress = inputs[i].Inks, inputs[i].Crops, report.of(i)
				if maps[i], errs[i] = files[i].Measure(ctx, one); errs[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	wait.Wait()
	return maps, errs
}

// A reporter makes one progress of those of several files.
type reporter struct {
	mu       sync.Mutex
	progress func(done float64)
	done     []float64
}

func newReporter(files int, progress func(done float64)) *reporter {
	return &reporter{progress: progress, done: make([]float64, files)}
}

// of is the progress of one file, nil where nobody asks.
func (r *reporter) of(file int) func(done float64) {
	if r.progress == nil {
		return nil
	}
	return func(done float64) {
		r.mu.Lock()
		defer r.mu.Unlock()
		r.done[file] = done
		var sum float64
		for _, d := range r.done {
			sum += d
		}
		r.progress(sum / float64(len(r.done)))
	}
}
