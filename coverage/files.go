package coverage

import (
	"sync"
	"sync/atomic"
)

// An Input is a file to be measured and, where they are given, the names of
// its inks.
type Input struct {
	Path string
	Inks []string
}

// MeasureFiles measures several files and returns their Maps in the files'
// order. Files that cannot keep every core busy, as those of one long stream,
// are read side by side. Of several errors that of the earliest file is
// returned. Options name no inks here; Progress is told of all files together.
func MeasureFiles(inputs []Input, o Options) ([]*Map, error) {
	var (
		maps   = make([][]*Map, len(inputs))
		errs   = make([]error, len(inputs))
		report = newReporter(len(inputs), o.Progress)
		next   atomic.Int64
		failed atomic.Bool
		wait   sync.WaitGroup
	)
	for range min(cap(cores), len(inputs)) {
		wait.Go(func() {
			for !failed.Load() {
				i := int(next.Add(1)) - 1
				if i >= len(inputs) {
					return
				}
				o := o
				o.Inks, o.Progress = inputs[i].Inks, report.of(i)
				maps[i], errs[i] = measureFile(inputs[i].Path, o)
				if errs[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	wait.Wait()
	var all []*Map
	for i := range inputs {
		if errs[i] != nil {
			return nil, errs[i]
		}
		all = append(all, maps[i]...)
	}
	return all, nil
}

func measureFile(path string, o Options) ([]*Map, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Measure(o)
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
