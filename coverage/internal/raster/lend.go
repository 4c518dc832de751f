package raster

import "io"

// A Lender is a file that lends its bytes where they are, for readers that
// would spend as long on copying them as on counting them.
type Lender interface {
	io.ReaderAt
	// Lend calls use with the n bytes from offset on, which it may read until
	// it returns, and returns its error. Where the file has become shorter that
	// is io.ErrUnexpectedEOF, where it lends nothing errors.ErrUnsupported, and
	// use has not been called.
	Lend(offset int64, n int, use func(data []byte) error) error
}
