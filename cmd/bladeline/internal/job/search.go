package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Matched are the files and folders that a pattern matches, as a shell names them in
// its place: where the shell does not, or the pattern was quoted. A name that is
// there, or is no pattern, is itself.
func Matched(name string) ([]string, error) {
	if _, err := os.Lstat(name); err == nil || !strings.ContainsAny(name, "*?[") {
		return []string{name}, nil
	}
	found, err := filepath.Glob(name)
	if err != nil {
		return nil, fmt.Errorf("%s: not a pattern; write * for any letters, ? for one", name)
	}
	found = slices.DeleteFunc(found, func(path string) bool { return strings.HasPrefix(filepath.Base(path), ".") })
	if len(found) == 0 {
		return nil, fmt.Errorf("%s: no file matches; check the pattern and the folder", name)
	}
	return found, nil
}

// FilesOfJobs are files, with what folders among them hold of jobs, by the files'
// names, in their place, also in folders within, but not within out. Sheets that this
// program drew are told apart.
func (n Names) FilesOfJobs(names []string, out string) (all, sheets []string, err error) {
	for _, name := range names {
		info, err := os.Stat(name)
		if err != nil {
			return nil, nil, unread(name, err)
		}
		if !info.IsDir() {
			all = append(all, name)
			continue
		}
		found, err := filesIn(name, func(path string) bool { return n.isOfAJob(filepath.Base(path)) && !within(path, out) }, nil)
		if err != nil {
			return nil, nil, err
		}
		if len(found) == 0 {
			return nil, nil, fmt.Errorf("%s: holds no separations; name a folder with TIFF, PNG, PDF or PostScript files, saved coverage or form files in it", name)
		}
		all = append(all, found...)
	}
	for _, path := range all {
		if IsOwnSheet(path) {
			sheets = append(sheets, path)
		}
	}
	if len(sheets) > 0 && len(sheets) == len(all) {
		return nil, nil, fmt.Errorf("%s: is %s; give the separations of a form", sheets[0], OwnSheet)
	}
	return slices.DeleteFunc(all, func(path string) bool { return slices.Contains(sheets, path) }), sheets, nil
}

// IsFolder tells whether there is a folder of a name.
func IsFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// within tells whether a path lies in a folder, which need not be there.
func within(path, folder string) bool {
	rel, err := seenFrom(folder, path)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// seenFrom is a path as it is seen from a folder.
func seenFrom(folder, path string) (string, error) {
	from, err := filepath.Abs(folder)
	to, err2 := filepath.Abs(path)
	if err = errors.Join(err, err2); err != nil {
		return "", err
	}
	return filepath.Rel(from, to)
}

// filesIn are the files of a folder, and of those in it, that are wanted. What is
// hidden is left out. The folder itself may be a link to one. Folders in it that cannot
// be listed are passed over where passed is told of them, and refused where it is nil.
func filesIn(folder string, wanted func(path string) bool, passed func(error)) ([]string, error) {
	var paths []string
	root := folder + string(filepath.Separator)
	err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		hidden := path != root && strings.HasPrefix(e.Name(), ".")
		switch {
		case err != nil && (passed == nil || path == root):
			return unread(path, err)
		case err != nil:
			passed(unlisted(path, err))
			return fs.SkipDir
		case hidden && e.IsDir():
			return fs.SkipDir
		case !hidden && !e.IsDir() && wanted(path):
			paths = append(paths, path)
		}
		return nil
	})
	return paths, err
}

// unlisted says why a folder is passed over.
func unlisted(path string, err error) error {
	if at, is := errors.AsType[*fs.PathError](err); is {
		err = at.Err
	}
	return fmt.Errorf("%s: cannot be listed, and is left out: %w; ask its owner for it", path, err)
}
