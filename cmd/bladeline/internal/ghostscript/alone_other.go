//go:build !unix

package ghostscript

import "os/exec"

// runAlone runs a command, which its context kills.
func runAlone(c *exec.Cmd) error { return c.Run() }
