package page

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"syscall"
)

// A temporary is a file that nothing is left of, however the program ends: it
// has no name as soon as the system lets go of it.
type temporary struct {
	*os.File
	named bool // where an open file keeps its name
}

func newTemporary() (*temporary, error) {
	f, err := os.CreateTemp("", "bladeline-*")
	if err != nil {
		return nil, err
	}
	return &temporary{f, os.Remove(f.Name()) != nil}, nil
}

// Close closes the file and removes it.
func (t *temporary) Close() {
	t.File.Close()
	if t.named {
		os.Remove(t.Name())
	}
}

// noRoom is an error of the temporary folder as a refusal; needed bytes are
// said where they are known.
func noRoom(err error, needed int64) error {
	if !errors.Is(err, syscall.ENOSPC) {
		return &refusal{http.StatusInternalServerError, unwritable(err).Error(), ""}
	}
	size := ""
	if needed > 0 {
		size = ", which need " + sizeOf(needed)
	}
	return &refusal{http.StatusInsufficientStorage, fmt.Sprintf("the temporary folder %s has no room for the files%s; free some there", os.TempDir(), size), ""}
}

// unwritable says what keeps the temporary folder from being written to.
func unwritable(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		err = p.Err
	}
	return fmt.Errorf("the temporary folder %s cannot be written to: %w; name one that can with TMPDIR, and start bladeline serve again", os.TempDir(), err)
}

// CheckTemporary finds out, before anybody brings a file, whether there is a
// place for it.
func CheckTemporary() error {
	t, err := newTemporary()
	if err != nil {
		return unwritable(err)
	}
	t.Close()
	return nil
}

// sizeOf is a size in words.
func sizeOf(bytes int64) string {
	for _, unit := range []struct {
		shift uint
		name  string
	}{{30, "GB"}, {20, "MB"}, {10, "kB"}} {
		if n := bytes >> unit.shift; n > 0 {
			return fmt.Sprintf("%d %s", n, unit.name)
		}
	}
	return fmt.Sprintf("%d bytes", bytes)
}
