package coverage

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"bladeline/coverage/internal/raster"
)

// work hands out the parts of a page to workers, in order, some at a time.
type work struct {
	page   raster.Page
	lanes  int // of a worker's counters
	number int // of the page
	o      Options

	mu     sync.Mutex
	next   int   // the first part that is not handed out
	ended  int   // how many parts are done
	failed int   // the part that err belongs to
	err    error // the error of the earliest part that failed
}

// batchBytes is about how many bytes of packed rows are handed out at once:
// enough that a worker merges rarely. A small page is handed out in fewestTurns
// for every core, so that none waits long for the last.
const (
	batchBytes  = 8 << 20
	fewestTurns = 8
)

// workerBytes bounds the counters of all workers together, of which one takes
// up to laneBytes for each lane.
const (
	workerBytes = 16 << 20
	laneBytes   = 9
)

// decoderBytes bounds the decoders of a page's workers together.
const decoderBytes = 32 << 20

func (w *work) run(ctx context.Context, newSink func() (raster.Sink, []*accumulator)) error {
	workers := min(cap(w.o.Workers.cores), w.page.Parts(), max(1, workerBytes/(laneBytes*w.lanes)), max(1, decoderBytes/w.page.DecoderBytes()))
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			if err := w.guard(func() error { return w.worker(ctx, newSink) }); err != nil {
				w.done(w.page.Parts(), err) // what a part says comes before it
			}
		})
	}
	wait.Wait()
	return w.err
}

func (w *work) guard(read func() error) error {
	return raster.Guard(raster.Where{Page: w.number}, read)
}

// worker counts parts when there is a core for it.
func (w *work) worker(ctx context.Context, newSink func() (raster.Sink, []*accumulator)) error {
	leave, err := w.o.Workers.enter(ctx, w.page.DecoderBytes() >= memoryBoundBytes)
	if err != nil {
		return err
	}
	defer leave()
	sink, counted := newSink()
	if w.work(w.page.NewDecoder(), sink) {
		for _, a := range counted {
			a.flush()
		}
	}
	return nil
}

// work decodes parts until there are no more, and tells if all went well.
func (w *work) work(d raster.Decoder, sink raster.Sink) (well bool) {
	well = true
	for {
		from, to := w.take()
		if from == to {
			return well
		}
		for _, part := range w.byColumns(from, to) {
			if !w.wants(part) {
				continue
			}
			err := w.guard(func() error { return d.Decode(part, sink) })
			w.done(part, err)
			well = well && err == nil
		}
	}
}

// byColumns orders parts so that tiles above each other follow each other: to
// turn to other columns costs as much as these are wide, however low a tile is.
func (w *work) byColumns(from, to int) (parts []int) {
	for part := from; part < to; part++ {
		parts = append(parts, part)
	}
	slices.SortStableFunc(parts, func(i, j int) int {
		a, b := w.page.Part(i), w.page.Part(j)
		return cmp.Or(cmp.Compare(a.Sample, b.Sample), cmp.Compare(a.X, b.X))
	})
	return parts
}

// wants tells if a part may still change the answer: none does behind one that
// failed.
func (w *work) wants(part int) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.err == nil || part < w.failed
}

// take returns the next parts to decode, none when all are handed out or one
// has failed: earlier parts are then with other workers already.
func (w *work) take() (from, to int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	from, to = w.next, w.next
	if w.err != nil {
		return from, to
	}
	h := w.page.Header()
	enough := min(batchBytes, int64(h.RowBytes(h.Width))*int64(h.Height)/int64(fewestTurns*cap(w.o.Workers.cores)))
	for bytes := int64(0); to < w.page.Parts() && bytes <= enough; to++ {
		b := w.page.Part(to)
		bytes += int64(h.PackedBytes(b.W*b.Samples)) * int64(b.H)
	}
	w.next = to
	return from, to
}

// done notes the end of a part. Of several failures the earliest in the file is
// kept, so that the same file gives the same error on any number of cores.
func (w *work) done(part int, err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if err != nil && (w.err == nil || part < w.failed) {
		w.err, w.failed = err, part
	}
	w.ended++
	if w.o.Progress != nil && err == nil {
		w.o.Progress(float64(w.ended) / float64(w.page.Parts()))
	}
}
