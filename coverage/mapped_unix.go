//go:build unix

package coverage

import (
	"errors"
	"io"
	"os"
	"runtime/debug"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A mappedFile is a raster.Windowed that maps stretches of a file into memory, and
// is read like any other where that cannot be done.
type mappedFile struct{ *os.File }

func mapped(f *os.File) io.ReaderAt { return mappedFile{f} }

// windowStep is what windows are rounded to: systems that hold a file in large
// pages map those at once, and not 4 KiB by 4 KiB.
const windowStep = 2 << 20

// Window maps a window around the bytes.
func (f mappedFile) Window(offset int64, n int, use func([]byte) error) error {
	before := int(offset % windowStep)
	length := (before + n + windowStep - 1) / windowStep * windowStep // may reach beyond the file
	window, err := unix.Mmap(int(f.Fd()), offset-int64(before), length, unix.PROT_READ, unix.MAP_SHARED)
	if err != nil {
		return errors.ErrUnsupported
	}
	defer unix.Munmap(window)
	failed := catchFault(window, func() error { return use(window[before : before+n]) })
	info, err := f.Stat()
	switch {
	case err != nil:
		return err
	case info.Size() < offset+int64(n): // zeros, or a fault, stood where its end was
		return io.ErrUnexpectedEOF
	}
	return failed
}

// catchFault makes an error of what the system signals where it has no bytes
// for the window: the file has become shorter, or its disk has failed.
func catchFault(window []byte, use func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		v := recover()
		if v == nil {
			return
		}
		start := uintptr(unsafe.Pointer(unsafe.SliceData(window)))
		fault, ok := v.(interface{ Addr() uintptr })
		if !ok || fault.Addr() < start || fault.Addr() >= start+uintptr(len(window)) {
			panic(v)
		}
		err = syscall.EIO
	}()
	return use()
}
