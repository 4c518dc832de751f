package ghostscript

import "syscall"

// diesWithUs has a command killed when this program is gone, in whatever way.
func diesWithUs(a *syscall.SysProcAttr) { a.Pdeathsig = syscall.SIGKILL }
