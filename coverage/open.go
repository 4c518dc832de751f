package coverage

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/png"
	"bladeline/coverage/internal/raster/tiff"
)

// A File is a file that holds separations: a raster, or Maps saved earlier.
// It is measured once and closed. One that was not opened refuses to be measured.
type File struct {
	path  string
	data  source
	pages raster.File // nil for saved Maps
	close func() error
}

// Open opens a file and finds out by its first bytes what it is. Errors name
// the file and what to do.
func Open(path string) (*File, error) {
	// Looked at before it is opened: the open of a pipe waits for whoever writes
	// into it, for ever where nobody does.
	info, err := os.Stat(path)
	if err != nil {
		return nil, unopened(path, err)
	}
	if err := regular(info); err != nil {
		return nil, raster.InFile(err, path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, unopened(path, err)
	}
	if info, err = f.Stat(); err != nil {
		f.Close()
		return nil, raster.InFile(&raster.ReadError{Err: err}, path)
	}
	opened, err := OpenReader(path, mapped(f), info.Size())
	if err != nil {
		f.Close()
		return nil, err
	}
	opened.close = f.Close
	return opened, nil
}

// OpenReader is Open of size bytes that are at hand. They are called path in
// errors, and an ink that they do not name is read off it; it is not opened.
func OpenReader(path string, data io.ReaderAt, size int64) (*File, error) {
	f := &File{path: path, data: source{ReaderAt: data, ctx: context.Background()}}
	err := raster.Guard(raster.Where{}, func() (err error) {
		f.pages, err = pagesOf(path, &f.data, size)
		return err
	})
	if err != nil {
		return nil, raster.InFile(err, path)
	}
	return f, nil
}

// ShowStack, called where a panic is recovered, writes to standard error where
// it came from, if the environment variable BLADELINE_DEBUG is 1.
func ShowStack(panicked any) { raster.ShowStack(panicked) }

// Close closes the file.
func (f *File) Close() error {
	if f.close == nil {
		return nil
	}
	return f.close()
}

// unopened says why a file could not be opened; errors.Is finds fs.ErrNotExist
// and its like in it.
func unopened(path string, err error) error {
	if p, ok := errors.AsType[*os.PathError](err); ok {
		err = p.Err
	}
	what := "cannot be opened: " + err.Error() + "; check the name and the folder"
	switch {
	case errors.Is(err, os.ErrNotExist):
		what = "there is no such file; check the name and the folder"
	case errors.Is(err, os.ErrPermission):
		what = "there is no permission to read the file; ask its owner for it"
	}
	return &raster.ReadError{Where: raster.Where{File: path}, Err: worded{what, err}}
}

// A worded error says its cause in other words.
type worded struct {
	what  string
	cause error
}

func (w worded) Error() string { return w.what }
func (w worded) Unwrap() error { return w.cause }

// regular refuses what is no regular file.
func regular(info os.FileInfo) error {
	if info.IsDir() {
		return &raster.UnsupportedError{What: "is a folder", Do: "name the separations in it"}
	}
	if !info.Mode().IsRegular() {
		return &raster.UnsupportedError{What: "is not a regular file", Do: "name the separation itself"}
	}
	return nil
}

// pagesOf is the switch from magic bytes to formats.
func pagesOf(path string, f io.ReaderAt, size int64) (raster.File, error) {
	magic := make([]byte, 32)
	n, err := f.ReadAt(magic, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, &raster.ReadError{Err: err}
	}
	switch magic = magic[:n]; {
	case tiff.IsTIFF(magic):
		return tiff.Open(f, size)
	case png.IsPNG(magic):
		return png.Open(f, size)
	case isSaved(magic):
		return nil, nil
	case n == 0:
		return nil, &raster.FormatError{What: "the file is empty", Do: "export the separation again"}
	}
	if ext := strings.ToLower(filepath.Ext(path)); ext == ".pdf" && !strings.HasPrefix(string(magic), "%PDF") {
		return nil, &raster.UnsupportedError{What: "this is no PDF, though its name says so", Do: "export it again"}
	}
	return nil, &raster.UnsupportedError{What: kindOf(magic), Do: "export separations as TIFF or PNG"}
}

// kindOf says what a file is that was handed over by mistake.
func kindOf(magic []byte) string {
	for _, kind := range []struct{ magic, name string }{
		{"%PDF", "a PDF"},
		{"%!PS", "a PostScript file"},
		{"\xff\xd8\xff", "a JPEG"},
		{"8BPS", "a layered picture file"},
		{"GIF8", "a GIF"},
		{"BM", "a BMP"},
		{"RIFF", "a RIFF file"},
		{"PK\x03\x04", "a ZIP archive or office document"},
		{"\x1f\x8b", "a gzip archive"},
	} {
		if strings.HasPrefix(string(magic), kind.magic) {
			return kind.name + " is not a separation"
		}
	}
	return "this is neither TIFF nor PNG nor saved coverage"
}
