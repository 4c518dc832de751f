package raster

import "io"

// A Stopper is a file whose reading may be stopped, as by somebody who has
// gone. Reading its bytes then fails.
type Stopper interface {
	io.ReaderAt
	// Stopped is nil until then.
	Stopped() error
}

// Stoppable reads r, which are bytes of a file that a decoder holds or what it
// makes of them, until reading the file is stopped: for one that goes on long
// from few bytes before it hands over a row. It gives at most so many at once.
func Stoppable(file io.ReaderAt, r io.Reader, most int) io.Reader {
	if stopper, ok := file.(Stopper); ok {
		return &stoppable{stopper, r, most}
	}
	return r
}

type stoppable struct {
	file Stopper
	r    io.Reader
	most int
}

func (s *stoppable) Read(p []byte) (int, error) {
	if err := s.file.Stopped(); err != nil {
		return 0, err
	}
	return s.r.Read(p[:min(len(p), s.most)])
}
