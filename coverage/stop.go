package coverage

import (
	"context"
	"errors"
	"io"

	"bladeline/coverage/internal/raster"
)

// stopped is nil until ctx is done, and then says so; it wraps the cause.
func stopped(ctx context.Context) error {
	select {
	case <-ctx.Done():
		return worded{"measuring was stopped; measure the file again", context.Cause(ctx)}
	default:
		return nil
	}
}

// A source is the bytes of a file, which are none once measuring it is stopped:
// so a reader ends that reads long without handing over a row. It is a
// raster.Stopper for one that holds bytes of which it makes much.
type source struct {
	io.ReaderAt
	ctx     context.Context // of the Measure under way
	windows chan struct{}   // of its Workers
}

// Stopped returns an error once measuring is stopped.
func (s *source) Stopped() error { return stopped(s.ctx) }

// ReadAt reads from the file.
func (s *source) ReadAt(p []byte, offset int64) (int, error) {
	if err := s.Stopped(); err != nil {
		return 0, err
	}
	return s.ReaderAt.ReadAt(p, offset)
}

// Window is the file's, as long as not all windows are open: a source is a
// raster.Windowed.
func (s *source) Window(offset int64, n int, use func([]byte) error) error {
	if err := s.Stopped(); err != nil {
		return err
	}
	file, is := s.ReaderAt.(raster.Windowed)
	if !is {
		return errors.ErrUnsupported
	}
	select {
	case s.windows <- struct{}{}:
		defer func() { <-s.windows }()
		return file.Window(offset, n, use)
	default:
		return errors.ErrUnsupported
	}
}

// stoppable is a sink that takes no more rows once its context is done. So a
// file of one long part ends as soon as one of many.
type stoppable struct {
	raster.Sink
	ctx context.Context
}

func (s stoppable) Packed(b raster.Block, data []byte, stride int) error {
	if err := stopped(s.ctx); err != nil {
		return err
	}
	return s.Sink.Packed(b, data, stride)
}

func (s stoppable) Runs(b raster.Block, ends []int32) error {
	if err := stopped(s.ctx); err != nil {
		return err
	}
	return s.Sink.Runs(b, ends)
}
