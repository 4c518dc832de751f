package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// patience is how long a FIFO is waited for. A variable, for tests.
var patience = 10 * time.Second

// openPatiently opens a file for reading or writing. Of a FIFO the system waits
// until somebody opens the other end, and a reader then for what is written
// there: either no longer than patience. What the program got open, as a shell
// passes <(…), is waited for as long as it takes: there is somebody at the other
// end. Nothing takes a system call back that waits for that: what was given up waits
// on beside, and ends with the program, which has nothing else to do then.
func openPatiently(name string, flag int) (*os.File, error) {
	info, err := os.Stat(name)
	if err == nil && info.IsDir() {
		return nil, errFolder
	}
	if err != nil || info.Mode()&fs.ModeNamedPipe == 0 || openAlready.MatchString(filepath.Clean(name)) {
		return os.OpenFile(name, flag, 0)
	}
	type result struct {
		file *os.File
		err  error
	}
	opened := make(chan result, 1)
	go func() {
		file, err := os.OpenFile(name, flag, 0)
		opened <- result{file, err}
	}()
	select {
	case r := <-opened:
		if r.err == nil && flag == os.O_RDONLY {
			// Not every system knows deadlines of FIFOs; there it is the writer who ends it.
			_ = r.file.SetReadDeadline(time.Now().Add(patience))
		}
		return r.file, r.err
	case <-time.After(patience):
		return nil, errNobody()
	}
}

var errFolder = errors.New("is a folder")

func errNobody() error {
	return fmt.Errorf("it is a FIFO, and nothing happened at its other end for %v", patience)
}
