//go:build unix && !linux

package ghostscript

import "syscall"

func diesWithUs(*syscall.SysProcAttr) {}
