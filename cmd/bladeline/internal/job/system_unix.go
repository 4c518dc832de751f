//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package job

import (
	"errors"
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// hold marks a file as in use until it is closed, or the program has ended in
// whatever way. Where the file system knows no locks its age alone protects it.
func hold(file *os.File) { _ = unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB) }

// isHeld tells whether a running program holds a file, or may.
func isHeld(name string) bool {
	file, err := os.Open(name)
	if err != nil {
		return true
	}
	defer file.Close()
	return unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB) != nil
}

// syncFolder forces to disk which files a folder holds. A folder that may not be
// read is left to the system, as is one on a file system that knows no such
// thing.
func syncFolder(folder string) error {
	file, err := os.Open(folder)
	if err != nil {
		return nil
	}
	defer file.Close()
	err = file.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	return err
}
