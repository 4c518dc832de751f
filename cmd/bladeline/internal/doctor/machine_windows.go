package doctor

import (
	"unsafe"

	"golang.org/x/sys/windows"
)

// memoryStatus is MEMORYSTATUSEX of Windows' sysinfoapi.h.
type memoryStatus struct {
	length, load                                    uint32
	total, available, totalPage, availablePage      uint64
	totalVirtual, availableVirtual, availableExtend uint64
}

// memorySize is the machine's, in bytes.
func memorySize() (bytes uint64, known bool) {
	var s memoryStatus
	s.length = uint32(unsafe.Sizeof(s))
	done, _, _ := windows.NewLazySystemDLL("kernel32.dll").NewProc("GlobalMemoryStatusEx").Call(uintptr(unsafe.Pointer(&s)))
	return s.total, done != 0
}

// freeSpace is what this user may still write to where a folder lies, in bytes.
func freeSpace(folder string) (bytes uint64, known bool) {
	name, err := windows.UTF16PtrFromString(folder)
	if err != nil {
		return 0, false
	}
	err = windows.GetDiskFreeSpaceEx(name, &bytes, nil, nil)
	return bytes, err == nil
}
