package job

import (
	"os"
	"path/filepath"
	"regexp"
	"time"
)

// temporaryName is what names of temporary files and folders begin with; a number
// follows.
const temporaryName = ".bladeline-"

var temporaryPattern = regexp.MustCompile(`^\.bladeline-\d{1,10}$`)

// leftOver is the age at which a temporary file is taken for left over: no run
// writes for so long.
const leftOver = time.Hour

// removeLeftOver removes from a folder the temporary files and folders of runs
// that were killed: those that are old and that no running program holds.
func removeLeftOver(folder string) { RemoveLeftOver(folder, leftOver) }

// RemoveLeftOver removes from a folder the temporary files and folders of so old an
// age that no running program holds. It is a courtesy, and what cannot be removed
// stays. At an age of 0 nobody else may be about to write in the folder.
func RemoveLeftOver(folder string, age time.Duration) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return
	}
	for _, e := range entries {
		if !temporaryPattern.MatchString(e.Name()) {
			continue
		}
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() && !info.IsDir() || age > 0 && time.Since(info.ModTime()) < age {
			continue
		}
		if name := filepath.Join(folder, e.Name()); !isHeld(name) {
			os.RemoveAll(name)
		}
	}
}
