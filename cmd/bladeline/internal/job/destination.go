package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"

	"bladeline/zones/preset"
)

// A destination is where an output goes, looked at before anything is written.
type destination struct {
	named File

	// path is the file behind links. One that is there and regular has the mode,
	// and is replaced; one that is not there has the mode 0.
	path string
	mode fs.FileMode
	// stream is set where the output is written to what is there: a device, a
	// FIFO, or a file that is open already.
	stream bool

	file  *os.File // the temporary file, or the open stream
	ready []byte   // for a stream
}

// destinations looks at all places, and refuses what cannot be written and what
// is named twice.
func destinations(files []File) ([]destination, error) {
	var all []destination
	taken := map[string]string{}
	for _, f := range files {
		d, err := destinationOf(f)
		if err != nil {
			return nil, Unwritten(f.Path, err)
		}
		if place := d.place(); !d.stream {
			if first, twice := taken[place]; twice {
				return nil, fmt.Errorf("%s: is the same file as %s; name another", f.Path, first)
			}
			taken[place] = f.Path
		}
		all = append(all, d)
	}
	return all, nil
}

func destinationOf(f File) (destination, error) {
	path, err := behindLinks(f.Path)
	if err != nil {
		return destination{}, err
	}
	d := destination{named: f, path: path, stream: openAlready.MatchString(filepath.Clean(path))}
	info, err := os.Stat(path)
	switch {
	case d.stream, errors.Is(err, fs.ErrNotExist):
		return d, nil
	case err != nil:
		return d, err
	case info.IsDir():
		return d, errors.New("is a folder")
	case !info.Mode().IsRegular():
		d.stream = true
		return d, nil
	}
	d.mode = info.Mode().Perm()
	return d, writable(path, d.mode)
}

// keepOK refuses to replace an OK file.
func (d *destination) keepOK() error {
	if d.stream || d.mode == 0 {
		return nil
	}
	return keepOK(d.named.Path)
}

// keepOK refuses to write where an OK file is.
func keepOK(path string) error {
	if IsOK(path) {
		return fmt.Errorf("%s: says what was finally run and is not overwritten; choose another name, or move this file away", path)
	}
	return nil
}

// IsOK tells whether an OK file is there, which says what was finally run.
func IsOK(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	file, err := os.Open(path)
	if err != nil { // and cannot be replaced either, or is nobody's to read
		return false
	}
	defer file.Close()
	return preset.HoldsOK(file)
}

// writable refuses to replace a file that could not be written to: it is that of
// somebody who wants it as it is, though a rename asks the folder alone.
func writable(path string, mode fs.FileMode) error {
	if mode&0o222 == 0 { // for root, too, who could
		return errors.New("it is read-only")
	}
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return file.Close()
}

// place is what tells one file from others, whether it is there or not.
func (d *destination) place() string {
	folder, err := filepath.EvalSymlinks(filepath.Dir(d.path))
	if err != nil { // is told when the file is to be written there
		return d.path
	}
	if absolute, err := filepath.Abs(folder); err == nil {
		folder = absolute
	}
	return filepath.Join(folder, filepath.Base(d.path))
}

// maxLinks is how many links are followed from one to the next; systems follow
// 40.
const maxLinks = 40

// behindLinks is the file that a path stands for. Links stay, and the file that
// they lead to is written, also one that is not there yet. Links that lead in a
// circle are refused.
func behindLinks(path string) (string, error) {
	for range maxLinks {
		if openAlready.MatchString(filepath.Clean(path)) {
			return path, nil
		}
		info, err := os.Lstat(path)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			return path, nil // what is wrong is told by who looks at it
		}
		target, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(target) {
			// Not joined: behind a link to a folder, .. is not the folder of the link.
			target = filepath.Dir(path) + string(filepath.Separator) + target
		}
		path = target
	}
	return "", errors.New("its links lead in a circle")
}

// openAlready are the names that systems give to what a program has open. Others
// may have it open too, and see nothing of a file put in its place.
var openAlready = regexp.MustCompile(`^/(dev/(stdin|stdout|stderr|fd/\d+)|proc/[^/]+/fd/\d+)$`)

// IsStream tells whether what is written under a name goes to what is there: a
// device, a FIFO, or a file that is open already.
func IsStream(path string) bool {
	d, err := destinationOf(File{Path: path})
	return err == nil && d.stream
}

// openStream opens what is written to as it is. What the program has open itself
// is not opened anew: that would begin at the start of a file.
func openStream(path string) (*os.File, error) {
	switch filepath.Clean(path) {
	case "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1":
		return os.Stdout, nil
	case "/dev/stderr", "/dev/fd/2", "/proc/self/fd/2":
		return os.Stderr, nil
	}
	return openPatiently(path, os.O_WRONLY|os.O_APPEND)
}
