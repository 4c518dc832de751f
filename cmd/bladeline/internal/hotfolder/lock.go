package hotfolder

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// lockName is the file that a watcher holds in the folders that it works on. The
// system lets go of it when the program ends, in whatever way.
const lockName = ".bladeline-watch.lock"

// A Holder is the watcher that holds a folder.
type Holder struct {
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	Since time.Time `json:"since"`
}

// A HeldError refuses to work on a folder that another watcher works on.
type HeldError struct {
	Folder string
	By     Holder // zero where it does not say
}

func (e *HeldError) Error() string {
	by := "another watcher"
	if e.By.PID != 0 {
		by = fmt.Sprintf("process %d on %s, since %s", e.By.PID, e.By.Host, e.By.Since.Format(time.DateTime))
	}
	return fmt.Sprintf("%s: is worked on by %s; end that one first, or name another folder", e.Folder, by)
}

// A lock is a folder that is held.
type lock struct {
	path string
	file *os.File
}

var (
	errHeld     = errors.New("another program holds it")
	errUnlocked = errors.New("the file system knows no locks")
)

// take holds a folder. An error is a *HeldError, or errUnlocked beside the lock where
// another watcher would not be noticed, or says why there can be no lock at all.
func take(folder string, me Holder) (*lock, error) {
	path := filepath.Join(folder, lockName)
	for {
		file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
		if err != nil {
			return nil, err
		}
		l := &lock{path, file}
		unlocked := lockFile(file)
		if errors.Is(unlocked, errHeld) {
			defer file.Close()
			return nil, &HeldError{folder, holderIn(file)}
		}
		if !l.there() { // it was removed by the one before us, who had it open
			file.Close()
			continue
		}
		l.sign(me)
		if unlocked != nil {
			return l, errUnlocked
		}
		return l, nil
	}
}

// sign writes who holds the lock. Where the disk is full he stays unnamed.
func (l *lock) sign(me Holder) {
	text, err := json.Marshal(me)
	if err == nil && l.file.Truncate(0) == nil {
		_, _ = l.file.WriteAt(append(text, '\n'), 0)
	}
}

func holderIn(file *os.File) (h Holder) {
	text := make([]byte, 4096)
	n, _ := file.ReadAt(text, 0)
	_ = json.Unmarshal(text[:n], &h) // who does not say who he is stays unnamed
	return h
}

// there tells whether the folder still has the lock: one that is not there is gone,
// as a share that is no longer mounted.
func (l *lock) there() bool {
	mine, err := l.file.Stat()
	if err != nil {
		return false
	}
	theirs, err := os.Stat(l.path)
	return err == nil && os.SameFile(mine, theirs)
}

// release lets go of the folder.
func (l *lock) release() {
	if l.there() {
		os.Remove(l.path)
	}
	l.file.Close()
}
