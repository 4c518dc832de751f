//go:build !unix

package coverage

import (
	"io"
	"os"
)

// mapped is for systems on which files are read only.
func mapped(f *os.File) io.ReaderAt { return f }
