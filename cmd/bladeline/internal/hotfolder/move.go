package hotfolder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
)

// move moves a job's files into a folder of its own in another folder, where they
// replace nothing. A file that changed meanwhile stays, as does one that a further
// form file names.
func (w *Watcher) move(dir string, t task) error {
	within := folderOf(t.files)
	target, err := freeFolder(filepath.Join(dir, folderName(t.name)), within, t.files)
	if err != nil {
		return err
	}
	for _, f := range t.files {
		if f.shared || !w.unchanged([]file{f}) {
			continue
		}
		to := filepath.Join(target, filepath.FromSlash(strings.TrimPrefix(f.name, within)))
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return job.Unwritten(to, err)
		}
		if err := moveFile(w.lister.path(f.name), to); err != nil {
			return err
		}
	}
	if within != "" {
		os.Remove(w.lister.path(within)) // stays where more is in it
	}
	return nil
}

// folderOf is the folder that all files lie in, with its slash; "" is the one that is
// watched.
func folderOf(files []file) string {
	folder, _ := path.Split(files[0].name)
	for _, f := range files {
		if other, _ := path.Split(f.name); other != folder {
			return ""
		}
	}
	return folder
}

// freeFolder is the first of folder, folder-2, … in which none of the files is yet.
func freeFolder(folder, within string, files []file) (string, error) {
	for n := 1; ; n++ {
		named := folder
		if n > 1 {
			named = fmt.Sprintf("%s-%d", folder, n)
		}
		free := true
		for _, f := range files {
			to := filepath.Join(named, filepath.FromSlash(strings.TrimPrefix(f.name, within)))
			switch _, err := os.Lstat(to); {
			case err == nil:
				free = false
			case !errors.Is(err, fs.ErrNotExist):
				return "", job.Unwritten(to, err)
			}
		}
		if free {
			return named, nil
		}
	}
}

// moveFile moves a file, to another file system by copying it first.
func moveFile(from, to string) error {
	if os.Rename(from, to) == nil {
		return nil
	}
	info, err := os.Stat(from)
	if err != nil {
		return job.Unwritten(to, err)
	}
	source, err := os.Open(from)
	if err != nil {
		return job.Unwritten(to, err)
	}
	defer source.Close()
	copied := job.File{Path: to, Write: func(w io.Writer) error { _, err := io.Copy(w, source); return err }}
	if err := job.WriteFiles([]job.File{copied}); err != nil {
		return err
	}
	_ = os.Chtimes(to, info.ModTime(), info.ModTime()) // a courtesy
	if err := os.Remove(from); err != nil {
		os.Remove(to)
		return job.Unwritten(from, err)
	}
	return nil
}
