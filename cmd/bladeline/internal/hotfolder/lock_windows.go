package hotfolder

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockFile locks an open file for this program alone, until it is closed. A byte
// far behind its end is locked, since what is locked cannot be read here.
func lockFile(file *os.File) error {
	behind := &windows.Overlapped{OffsetHigh: 1}
	err := windows.LockFileEx(windows.Handle(file.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, behind)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return errHeld
	}
	return err
}
