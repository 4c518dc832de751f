package job

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// TemporaryFolder makes a folder in the system's temporary one, and returns what
// removes it.
func TemporaryFolder() (path string, remove func(), err error) {
	t, err := newTemporaryFolder(os.TempDir())
	if err != nil {
		return "", nil, err
	}
	return t.path, t.remove, nil
}

// A temporaryFolder holds what is thrown away at the end of a run.
type temporaryFolder struct {
	path string
	held *os.File
}

// newTemporaryFolder makes a temporary folder in another, and removes from there
// those of runs that were killed.
func newTemporaryFolder(in string) (*temporaryFolder, error) {
	removeLeftOver(in)
	for {
		path := filepath.Join(in, fmt.Sprintf("%s%d", temporaryName, rand.Uint32()))
		err := os.Mkdir(path, 0o700)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, Unwritten(in, err)
		}
		t := &temporaryFolder{path: path}
		if t.held, err = os.Open(path); err == nil {
			hold(t.held)
		}
		return t, nil
	}
}

// remove removes the folder and all that is in it.
func (t *temporaryFolder) remove() {
	if t.held != nil {
		t.held.Close()
	}
	os.RemoveAll(t.path)
}
