package doctor

import "golang.org/x/sys/unix"

// memorySize is the machine's, in bytes.
func memorySize() (bytes uint64, known bool) {
	bytes, err := unix.SysctlUint64("hw.memsize")
	return bytes, err == nil
}
