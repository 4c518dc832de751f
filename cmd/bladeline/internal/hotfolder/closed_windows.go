package hotfolder

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// isClosed tells whether a program keeps others from opening a file.
func isClosed(path string) bool {
	file, err := os.Open(path)
	if err == nil {
		file.Close()
	}
	return errors.Is(err, windows.ERROR_SHARING_VIOLATION) || errors.Is(err, windows.ERROR_LOCK_VIOLATION)
}
