//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package hotfolder

import (
	"errors"
	"os"
)

// lockFile locks nothing here.
func lockFile(*os.File) error { return errors.ErrUnsupported }
