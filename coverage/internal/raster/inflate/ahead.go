package inflate

import (
	"fmt"
	"io"
	"runtime/debug"
)

// Ahead reads a stream in a goroutine of its own, some buffers ahead of who
// reads from it: so that one long stream is expanded on one core while its rows
// are counted on another.
type Ahead struct {
	free chan []byte
	full chan piece
	stop chan struct{}
	done chan struct{}
	piece
	buf []byte // of the piece, to be given back
}

type piece struct {
	data []byte
	err  error // behind data
}

const (
	aheadBuffers = 3
	aheadBytes   = 128 << 10
)

// NewAhead begins to read src, which belongs to it until Close.
func NewAhead(src io.Reader) *Ahead {
	a := &Ahead{
		free: make(chan []byte, aheadBuffers),
		full: make(chan piece, aheadBuffers),
		stop: make(chan struct{}),
		done: make(chan struct{}),
	}
	for range aheadBuffers {
		a.free <- make([]byte, aheadBytes)
	}
	go a.run(src)
	return a
}

func (a *Ahead) run(src io.Reader) {
	defer close(a.done)
	for {
		select {
		case buf := <-a.free:
			n, err := guarded(src, buf)
			a.full <- piece{buf[:n], err}
			if err != nil {
				return
			}
		case <-a.stop:
			return
		}
	}
}

// guarded is readFull, whose panic is an error until it is passed on to who
// reads.
func guarded(src io.Reader, buf []byte) (n int, err error) {
	defer func() {
		if v := recover(); v != nil {
			n, err = 0, &panicked{v, debug.Stack()}
		}
	}()
	return readFull(src, buf)
}

// A panicked is what ended the goroutine that reads ahead.
type panicked struct {
	value any
	stack []byte
}

func (p *panicked) Error() string { return fmt.Sprint(p.value) }

// Stack is where it came from.
func (p *panicked) Stack() []byte { return p.stack }

// readFull is io.ReadFull, but for keeping the stream's own error.
func readFull(src io.Reader, buf []byte) (n int, err error) {
	for n < len(buf) && err == nil {
		var more int
		more, err = src.Read(buf[n:])
		n += more
	}
	return n, err
}

// Read reads what the stream gives, and its error behind that. It panics where
// the reading ahead did.
func (a *Ahead) Read(p []byte) (int, error) {
	for len(a.data) == 0 {
		if p, ok := a.err.(*panicked); ok {
			panic(p)
		}
		if a.err != nil {
			return 0, a.err
		}
		if a.buf != nil {
			a.free <- a.buf
		}
		a.piece = <-a.full
		a.buf = a.data[:cap(a.data)]
	}
	n := copy(p, a.data)
	a.data = a.data[n:]
	return n, nil
}

// Close ends the reading and waits for it; src may be used again then.
func (a *Ahead) Close() {
	close(a.stop)
	<-a.done
}
