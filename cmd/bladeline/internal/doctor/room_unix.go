//go:build linux || darwin

package doctor

import "golang.org/x/sys/unix"

// freeSpace is what this user may still write to where a folder lies, in bytes.
func freeSpace(folder string) (bytes uint64, known bool) {
	var s unix.Statfs_t
	if unix.Statfs(folder, &s) != nil {
		return 0, false
	}
	return s.Bavail * uint64(s.Bsize), true
}
