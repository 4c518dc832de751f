package job

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/zones"
)

// A Set is the files of one job, told from those of others by their names.
type Set struct {
	Name    string           // of the job, on one line
	Folder  string           // that the job lies in: its files', or the one around that where they have it to themselves
	Inputs  []coverage.Input // in the order of their paths
	LeftOut []string         // no part of the job, as it seems: the composite of its separations
	Refused error            // why it is not known which of the files are the job; nil where it is
}

// Files are the files of the job's preset within out, one a kind, which is an ending
// as "csv". A job that lies in a folder within one of those that were searched has
// such a folder there, too.
func (s *Set) Files(out string, searched, kinds []string) []Output {
	for _, folder := range searched {
		if rel, err := seenFrom(folder, s.Folder); err == nil && within(s.Folder, folder) {
			out = filepath.Join(out, rel)
			break
		}
	}
	var files []Output
	for _, kind := range kinds {
		files = append(files, Output{Path: filepath.Join(out, cmp.Or(fileWord(s.Name), "job")+"."+kind)})
	}
	return files
}

// Sets finds the jobs that files belong to by their names, in the order of folders
// and names: as Names.Read has them, each folder for itself. Where a folder holds a
// file that is called by an ink alone, as Cyan.tif or K.png, that one and all whose
// names say no more are a job, called as the folder. A file of no job's name is one by
// itself. What a form file names is part of that alone.
//
// No file is read but form files, for the names in them.
func (n Names) Sets(paths []string) []Set {
	folders := map[string][]string{}
	for _, path := range withoutPieces(paths) {
		folder := filepath.Dir(path)
		folders[folder] = append(folders[folder], path)
	}
	var sets []Set
	for folder, files := range folders {
		sets = append(sets, n.setsIn(folder, files)...)
	}
	return merged(sets)
}

// withoutPieces are files in the order of their paths, each once, without those
// that form files among them name. A form file that cannot be read names none; it
// is a job, which says why.
func withoutPieces(paths []string) []string {
	pieces := map[string]bool{}
	for _, path := range paths {
		if !zones.IsForm(path) {
			continue
		}
		if form, err := LoadForm(path); err == nil {
			for _, p := range form.paths()[1:] {
				pieces[filepath.Clean(p)] = true
			}
		}
	}
	whole := slices.DeleteFunc(slices.Clone(paths), func(p string) bool { return pieces[filepath.Clean(p)] })
	slices.Sort(whole)
	return slices.Compact(whole)
}

// setsIn are the jobs of one folder.
func (n Names) setsIn(folder string, paths []string) []Set {
	var bases []string
	ofFolder := false
	for _, path := range paths {
		bases = append(bases, filepath.Base(path))
		ofFolder = ofFolder || n.isInkAlone(path)
	}
	var sets []Set
	at := map[string]int{} // of jobs of separations
	for i, f := range n.Read(bases...) {
		s := Set{Name: f.Job, Folder: folder}
		key := f.set(bases[i])
		switch {
		case f.Job == "":
			s.Name, key = jobName(coverage.Stem(bases[i])), "file "+bases[i]
			if len(n.patterns) > 0 {
				s.Refused = fmt.Errorf("%s: %s its name; correct the patterns, or leave the file out", paths[i], f.By)
			}
		case f.plain && !f.Beside && !f.LeftOut && ofFolder:
			s.Name, s.Folder, key = folderName(folder), filepath.Dir(folder), "folder"
		}
		place, known := at[key]
		if !known {
			place = len(sets)
			at[key] = place
			sets = append(sets, s)
		}
		sets[place].add(paths[i], f)
	}
	return sets
}

// add takes a file into a job.
func (s *Set) add(path string, f Name) {
	if f.LeftOut {
		s.LeftOut = append(s.LeftOut, path)
		return
	}
	s.Inputs = append(s.Inputs, f.Input(path))
}

// Input is a file as it is read: an ink that the name alone tells goes with it.
func (f Name) Input(path string) coverage.Input {
	in := coverage.Input{Path: path}
	if f.Given {
		in.Inks = []string{f.Ink}
	}
	return in
}

// HasAllInks tells whether a file has all of a job as far as its name says.
func (f Name) HasAllInks() bool { return f.Ink == "" && !f.Beside && !f.LeftOut }

// isInkAlone tells whether a file is called by an ink and no more.
func (n Names) isInkAlone(path string) bool {
	_, is := n.known(coverage.Stem(path))
	return is && len(n.patterns) == 0 && hasEnding(path, rasterEndings)
}

// merged sorts sets, and makes one, refused, of those of one folder that are called
// alike, also but for capitals, which some systems do not tell apart.
func merged(sets []Set) []Set {
	slices.SortFunc(sets, func(a, b Set) int {
		return cmp.Or(cmp.Compare(a.Folder, b.Folder), cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.Inputs[0].Path, b.Inputs[0].Path))
	})
	var all []Set
	for _, s := range sets {
		last := len(all) - 1
		if last < 0 || !strings.EqualFold(all[last].Name, s.Name) || all[last].Folder != s.Folder {
			all = append(all, s)
			continue
		}
		first := &all[last]
		if first.Refused == nil {
			first.Refused = namesakes(s.Inputs[0].Path, first.Inputs[0].Path)
		}
		first.Inputs = append(first.Inputs, s.Inputs...)
		first.LeftOut = append(first.LeftOut, s.LeftOut...)
	}
	return all
}

// folderName is what a folder is called, also the one that is worked in.
func folderName(folder string) string {
	if absolute, err := filepath.Abs(folder); err == nil {
		folder = absolute
	}
	return oneLine(filepath.Base(folder))
}
