package hotfolder

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/zones"
)

// A file is one that lies in the folder.
type file struct {
	name   string // from the folder on, with slashes
	size   int64
	time   time.Time // of its last change, as the file system says
	read   job.Name
	ofForm bool // a form file names it, and is read in its place
	shared bool // several form files do
}

// same tells whether a file is as it was, as far as its folder says.
func (f file) same(g file) bool {
	return f.name == g.name && f.size == g.size && f.time.Equal(g.time)
}

// A listing is what lies in a folder: the files of every job.
type listing struct {
	jobs    map[string][]file
	missing map[string][]string // of jobs of form files: names and patterns without a file
	folders []string            // that were looked at
	passed  map[string]string   // why files are of no job, where that is to be said, by their names
}

// A lister looks at a folder.
type lister struct {
	folder string
	names  job.Names
	skip   []string // folders within it where files are moved and written to

	pdfs map[string]pdf // that were looked into, by their names
}

// list looks at the folder and at those in it. An error is that the folder cannot
// be looked at as a whole: what of it is there is then not known.
func (l *lister) list() (listing, error) {
	found := listing{jobs: map[string][]file{}, missing: map[string][]string{}, passed: map[string]string{}}
	files, err := l.files("", &found.folders)
	if err != nil {
		return listing{}, err
	}
	before := l.pdfs
	l.pdfs = map[string]pdf{} // those that are gone are forgotten
	files = slices.DeleteFunc(files, func(f file) bool {
		sheet := l.isSheet(f, before)
		if sheet {
			found.passed[f.name] = "is left out, as " + job.OwnSheet
		}
		return sheet
	})
	claimed := l.claimForms(files, found)
	files = slices.DeleteFunc(files, func(f file) bool { return claimed[f.name] > 0 })
	for _, f := range l.read(files) {
		if f.read.Job != "" {
			found.jobs[f.read.Job] = append(found.jobs[f.read.Job], f)
		} else if why := job.Strange(f.name); why != "" {
			found.passed[f.name] = "is passed over: " + why
		}
	}
	for job, files := range found.jobs {
		for i := range files {
			files[i].shared = claimed[files[i].name] > 1
		}
		slices.SortStableFunc(files, func(a, b file) int { return strings.Compare(a.name, b.name) })
		found.jobs[job] = slices.CompactFunc(files, file.same)
	}
	return found, nil
}

// read reads the names of files, one beside the other.
func (l *lister) read(files []file) []file {
	var names []string
	for _, f := range files {
		names = append(names, f.name)
	}
	for i, read := range l.names.Read(names...) {
		files[i].read = read
	}
	return files
}

// files are those in the folder, or in one folder of it.
func (l *lister) files(in string, folders *[]string) (files []file, err error) {
	entries, err := os.ReadDir(l.path(in))
	if in != "" && (errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission)) { // gone by now, or nobody's job
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	*folders = append(*folders, l.path(in))
	for _, e := range entries {
		name := path.Join(in, e.Name())
		if strings.HasPrefix(e.Name(), ".") || slices.Contains(l.skip, l.path(name)) {
			continue
		}
		info, err := os.Stat(l.path(name)) // behind links
		switch {
		case errors.Is(err, fs.ErrNotExist), err != nil && e.Type()&fs.ModeSymlink != 0:
			continue
		case err != nil:
			return nil, err
		case info.IsDir() && in == "":
			more, err := l.files(name, folders)
			if err != nil {
				return nil, err
			}
			files = append(files, more...)
		case info.Mode().IsRegular():
			files = append(files, file{name: name, size: info.Size(), time: info.ModTime()})
		}
	}
	return files, nil
}

// A pdf is one that was looked into.
type pdf struct {
	file  file
	sheet bool // that this program drew
}

// isSheet tells whether a file is a sheet that this program drew. Each PDF is looked
// into once, and again when it has changed since those before.
func (l *lister) isSheet(f file, before map[string]pdf) bool {
	if !job.IsPages(f.name) {
		return false
	}
	known, is := before[f.name]
	if !is || !known.file.same(f) {
		known = pdf{f, job.IsOwnSheet(l.path(f.name))}
	}
	l.pdfs[f.name] = known
	return known.sheet
}

// path is where a file lies.
func (l *lister) path(name string) string { return filepath.Join(l.folder, filepath.FromSlash(name)) }

// claimForms gives every form file the separations that it names, which then are of
// no other job, and counts by how many they are named.
func (l *lister) claimForms(files []file, found listing) (claimed map[string]int) {
	claimed = map[string]int{}
	for _, f := range files {
		if !zones.IsForm(f.name) {
			continue
		}
		job, mine := l.names.Read(f.name)[0].Job, map[string]bool{}
		if job == "" {
			continue
		}
		for _, pattern := range l.namedBy(f) {
			matched := false
			for _, g := range files {
				if !zones.IsForm(g.name) && matches(pattern, l.path(g.name)) {
					mine[g.name], matched, g.ofForm = true, true, true
					found.jobs[job] = append(found.jobs[job], g)
				}
			}
			if !matched && !exists(pattern) {
				found.missing[job] = append(found.missing[job], filepath.Base(pattern))
			}
		}
		for name := range mine {
			claimed[name]++
		}
	}
	return claimed
}

// namedBy are the paths and patterns of separations in a form file; one that cannot
// be read names none, and is told of when its job's turn comes.
func (l *lister) namedBy(f file) (paths []string) {
	data, err := os.ReadFile(l.path(f.name))
	if err != nil {
		return nil
	}
	form, err := zones.ParseForm(f.name, data)
	if err != nil {
		return nil
	}
	add := func(name string) {
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(l.path(f.name)), name)
		}
		paths = append(paths, name)
	}
	for _, p := range form.Pieces {
		for _, name := range p.Files {
			add(name)
		}
		for _, ink := range p.Inks {
			add(ink.File)
		}
	}
	return paths
}

// matches tells whether a path is one, or matches a pattern in the same folder.
func matches(pattern, path string) bool {
	if filepath.Clean(pattern) == path {
		return true
	}
	matched, err := filepath.Match(filepath.Base(pattern), filepath.Base(path))
	return err == nil && matched && filepath.Dir(pattern) == filepath.Dir(path)
}

// exists tells whether a file is there, which may lie outside the folder.
func exists(pattern string) bool {
	found, err := filepath.Glob(pattern)
	return err == nil && len(found) > 0
}

// inputs are files as they are read.
func (l *lister) inputs(files []file) (inputs []coverage.Input) {
	for _, f := range files {
		if !f.ofForm && !f.read.LeftOut {
			inputs = append(inputs, f.read.Input(l.path(f.name)))
		}
	}
	return inputs
}
