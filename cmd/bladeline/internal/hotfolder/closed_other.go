//go:build !windows

package hotfolder

// isClosed is known on Windows alone, where a program that writes a file may keep
// others from opening it.
func isClosed(string) bool { return false }
