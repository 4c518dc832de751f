package coverage

import (
	"context"
	"errors"
	"io"
	"runtime"
	"slices"

	"bladeline/coverage/internal/raster"
)

// Options say how a file is to be measured.
type Options struct {
	// Inks names the separations in their order in the file; nil leaves it to
	// the file.
	Inks []string
	// InkIsLight takes the light part of the picture for ink.
	InkIsLight bool
	// Crops are the parts of every page that are measured, nil being all of it: one
	// after the other in the Maps, and all in one reading. None is all of it.
	Crops []*Crop
	// Progress, where set, is told how much of a page is done, 0 to 1. It may be
	// called from several goroutines, one at a time.
	Progress func(done float64)
	// Workers bound what this measuring and all others that are given the same
	// take at once; nil is a core each for this one alone, which waits for no
	// other.
	Workers *Workers
}

// Measure reads every page of the file once and returns one Map a separation, or
// one for each of its crops.
// Data that are damaged or end early are an error, never a Map; so is a panic
// of what reads them. Once ctx is done measuring ends soon, with an error that
// wraps the context's cause.
func (f *File) Measure(ctx context.Context, o Options) (maps []*Map, err error) {
	o.Workers = o.Workers.orOwn()
	f.data.ctx, f.data.windows = ctx, o.Workers.windows
	err = raster.Guard(raster.Where{}, func() (err error) {
		maps, err = f.measure(ctx, o)
		return err
	})
	if err == nil {
		return maps, nil
	}
	if stopped := stopped(ctx); stopped != nil {
		return nil, stopped
	}
	return nil, raster.InFile(err, f.path)
}

func (f *File) measure(ctx context.Context, o Options) ([]*Map, error) {
	taken, err := f.read(ctx, o)
	for i := 0; err == nil && i < len(taken); i++ {
		err = f.name(taken[i], o)
	}
	if err != nil {
		return nil, err
	}
	maps := slices.Concat(taken...)
	for _, m := range rastersOf(maps) {
		m.title = ""
		if m.File == "" { // saved Maps keep the raster's
			m.File = f.path
		}
		m.doubt(o.InkIsLight)
	}
	return maps, nil
}

// read measures all pages, crop by crop.
func (f *File) read(ctx context.Context, o Options) ([][]*Map, error) {
	switch {
	case f.pages == nil && f.data.ReaderAt == nil:
		return nil, errors.New("the file is not open; open it first")
	case f.pages == nil && slices.ContainsFunc(o.Crops, func(c *Crop) bool { return c != nil }):
		return nil, &raster.UnsupportedError{What: "saved coverage cannot be cropped", Do: "crop the raster that it was measured from"}
	case f.pages == nil:
		maps, err := f.readSaved(o)
		return [][]*Map{maps}, err
	}
	crops := o.Crops
	if len(crops) == 0 {
		crops = []*Crop{nil}
	}
	taken := make([][]*Map, len(crops))
	held := make([]holding, len(crops))
	for {
		if err := stopped(ctx); err != nil {
			return nil, err
		}
		page, err := f.pages.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		var views []*view
		if err == nil {
			views, err = viewsOf(page, crops, held, o.InkIsLight)
		}
		if err == nil {
			err = measurePage(ctx, page, views, o)
		}
		if err != nil {
			return nil, err
		}
		for i, v := range views {
			maps := v.named()
			taken[i] = append(taken[i], maps...)
			held[i].add(maps)
		}
	}
	if len(taken[0]) == 0 {
		return nil, &raster.FormatError{What: "the file holds no page", Do: "export the separation again"}
	}
	return taken, nil
}

// A holding is what the Maps of a file's pages take, of one crop.
type holding struct{ sums, cells int }

// take refuses a page that is too much beside those before it.
func (held *holding) take(h *raster.Header) error {
	if held.sums += (h.Width + h.Height) * h.Samples; held.sums > raster.MaxSums || held.cells > maxCells {
		return &raster.UnsupportedError{Where: raster.Where{Page: h.Page}, What: "the file's pages are more than can be held at once", Do: "export one file per ink, or at a lower resolution"}
	}
	return nil
}

func (held *holding) add(maps []*Map) {
	for _, m := range maps {
		held.cells += len(m.Cells.Ink)
	}
}

// manyColumns are so many, of all samples, that their counters take megabytes.
const manyColumns = 1 << 17

// measurePage counts views of a page in one reading, or in several where their
// counters take more than a worker may have.
func measurePage(ctx context.Context, page raster.Page, views []*view, o Options) error {
	for len(views) > 0 {
		n, lanes := together(views)
		err := countViews(ctx, page, views[:n], lanes, o)
		if lanes > manyColumns {
			runtime.GC() // or the counters of this page are held beside what follows
		}
		if err != nil {
			return err
		}
		views = views[n:]
	}
	return nil
}

// together is how many of the views can be counted at once, and their lanes.
func together(views []*view) (n, lanes int) {
	for _, v := range views {
		more := v.header.Width * v.header.Samples
		if n > 0 && (lanes+more)*laneBytes > workerBytes {
			break
		}
		n, lanes = n+1, lanes+more
	}
	return n, lanes
}

// countViews counts the page's parts on all cores and merges the sums.
func countViews(ctx context.Context, page raster.Page, views []*view, lanes int, o Options) error {
	newSink := func() (raster.Sink, []*accumulator) {
		var sinks all
		var counted []*accumulator
		for _, v := range views {
			a := newAccumulator(v.sums)
			sinks, counted = append(sinks, v.within(v.sink(a))), append(counted, a)
		}
		sink := raster.Sink(sinks)
		if len(sinks) == 1 {
			sink = sinks[0]
		}
		if ctx.Done() != nil {
			sink = stoppable{sink, ctx}
		}
		return sink, counted
	}
	w := &work{page: page, lanes: lanes, number: page.Header().Page, o: o}
	return w.run(ctx, newSink)
}

// all is a sink that hands on to several.
type all []raster.Sink

func (a all) Packed(b raster.Block, data []byte, stride int) error {
	for _, to := range a {
		if err := to.Packed(b, data, stride); err != nil {
			return err
		}
	}
	return nil
}

func (a all) Runs(b raster.Block, ends []int32) error {
	for _, to := range a {
		if err := to.Runs(b, ends); err != nil {
			return err
		}
	}
	return nil
}

// A counting is how the ink of a page is counted.
type counting struct {
	sums *sums
	sink func(*accumulator) raster.Sink // what hands on to an accumulator
	maps func() []*Map
}

func countingOf(h *raster.Header, light bool) counting {
	switch {
	case isPlain(h):
		s := newSums(h, h.Full())
		return counting{s, func(a *accumulator) raster.Sink { return a }, func() []*Map { return s.maps(h.InkLow != light) }}
	case h.Bits == 1 && h.Samples == 1:
		return countTwoTones(h, light)
	}
	return countPlain(h, light)
}
