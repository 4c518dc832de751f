//go:build !(linux || darwin || windows)

package doctor

func memorySize() (bytes uint64, known bool) { return 0, false }

func freeSpace(string) (bytes uint64, known bool) { return 0, false }
