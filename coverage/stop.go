package coverage

import (
	"errors"
	"io"

	"bladeline/coverage/internal/raster"
)

// ErrStopped says that measuring was stopped before its end.
var ErrStopped = errors.New("the measuring was stopped; measure the file again")

// A source is the bytes of a file, which are none once measuring it is stopped:
// so a reader ends that reads long without handing over a row. It is a
// raster.Stopper for one that holds bytes of which it makes much.
type source struct {
	io.ReaderAt
	stop <-chan struct{} // of the Measure under way
}

// Stopped returns ErrStopped once measuring is stopped.
func (s *source) Stopped() error {
	if isClosed(s.stop) {
		return ErrStopped
	}
	return nil
}

// ReadAt reads from the file.
func (s *source) ReadAt(p []byte, offset int64) (int, error) {
	if err := s.Stopped(); err != nil {
		return 0, err
	}
	return s.ReaderAt.ReadAt(p, offset)
}

// Lend lends what the file does: it is a raster.Lender.
func (s *source) Lend(offset int64, n int, use func([]byte) error) error {
	if err := s.Stopped(); err != nil {
		return err
	}
	if file, lends := s.ReaderAt.(raster.Lender); lends {
		return file.Lend(offset, n, use)
	}
	return errors.ErrUnsupported
}

// stoppable is a sink that takes no more rows once its channel is closed. So a
// file of one long part ends as soon as one of many.
type stoppable struct {
	raster.Sink
	stop <-chan struct{}
}

func (s stoppable) Packed(b raster.Block, data []byte, stride int) error {
	if isClosed(s.stop) {
		return ErrStopped
	}
	return s.Sink.Packed(b, data, stride)
}

func (s stoppable) Runs(b raster.Block, ends []int32) error {
	if isClosed(s.stop) {
		return ErrStopped
	}
	return s.Sink.Runs(b, ends)
}

// isClosed does not wait; a nil channel is never closed.
func isClosed(c <-chan struct{}) bool {
	select {
	case <-c:
		return true
	default:
		return false
	}
}
