//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package hotfolder

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lockFile locks an open file for this program alone, until it is closed.
func lockFile(file *os.File) error {
	err := unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return errHeld
	}
	return err
}
