package doctor

import (
	"os"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// memorySize is what this program may take: the machine's memory, or less where a
// container has less, in bytes.
func memorySize() (bytes uint64, known bool) {
	var s unix.Sysinfo_t
	if unix.Sysinfo(&s) != nil {
		return 0, false
	}
	bytes = uint64(s.Totalram) * uint64(s.Unit)
	text, err := os.ReadFile("/sys/fs/cgroup/memory.max") // cgroups(7), version 2: bytes, or "max"
	if err != nil {
		return bytes, true
	}
	if most, err := strconv.ParseUint(strings.TrimSpace(string(text)), 10, 64); err == nil {
		bytes = min(bytes, most)
	}
	return bytes, true
}
