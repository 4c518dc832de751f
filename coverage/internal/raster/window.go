package raster

import "io"

// A Windowed file shows its bytes where they are, for readers that would spend
// as long on copying them as on counting them.
type Windowed interface {
	io.ReaderAt
	// Window calls use with the n bytes from offset on, which it may read until
	// it returns, and returns its error. Where the file has become shorter that
	// is io.ErrUnexpectedEOF, where it shows nothing errors.ErrUnsupported, and
	// use has not been called.
	Window(offset int64, n int, use func(data []byte) error) error
}
