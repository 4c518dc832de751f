//go:build unix

package ghostscript

import (
	"os/exec"
	"runtime"
	"syscall"
)

// runAlone runs a command in a process group of its own: Ctrl-C reaches this
// program alone, which then kills the whole group.
func runAlone(c *exec.Cmd) error {
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	diesWithUs(c.SysProcAttr)
	c.Cancel = func() error { return syscall.Kill(-c.Process.Pid, syscall.SIGKILL) }
	// Linux counts the thread as the parent, which must not end before the command.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	return c.Run()
}
