package job

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// A Form is a form of several pieces whose separations are to be read.
type Form struct {
	Name              string  // of its file; "" is none: it is of the command line
	WidthMM, LengthMM float64 // 0: what its pieces take, with the left margin at the right
	Pieces            []FormPiece
}

// A FormPiece is a piece, and where its separations are read from.
type FormPiece struct {
	zones.FilePiece
	Sources []Source
}

// A Source is a file of separations, all of which are taken or one alone.
type Source struct {
	coverage.Input
	Crop          *coverage.Crop // nil takes all of it
	Ink           string         // of the one that is taken; "" takes all, by their own names
	Page, Channel int            // counted from 1; 0 is any
	place         string         // in the form's file
}

// LoadForm reads a form file and finds the files that it names, which are none of
// them read. Names are relative to the form's file.
func LoadForm(path string) (*Form, error) { return loadForm(path, &finder{form: path}) }

// LoadFormAlone is LoadForm of a form file that may name any files, but gets none but
// those beside it: folders in names count for nothing.
func LoadFormAlone(path string) (*Form, error) {
	return loadForm(path, &finder{form: path, alone: true})
}

func loadForm(path string, found *finder) (*Form, error) {
	data, err := ReadSettings(path)
	if err != nil {
		return nil, err
	}
	file, err := zones.ParseForm(path, data)
	if err != nil {
		return nil, err
	}
	f := &Form{Name: path, WidthMM: file.WidthMM, LengthMM: file.LengthMM}
	found.folders, found.matched = map[string][]string{}, map[string][]string{}
	for _, p := range file.Pieces {
		sources, err := found.sources(&p)
		if err != nil {
			return nil, err
		}
		f.Pieces = append(f.Pieces, FormPiece{p, sources})
	}
	return f, nil
}

// paths are the files of the form's separations, and its own.
func (f *Form) paths() []string {
	var paths []string
	if f.Name != "" {
		paths = append(paths, f.Name)
	}
	for _, p := range f.Pieces {
		for _, s := range p.Sources {
			paths = append(paths, s.Path)
		}
	}
	return paths
}

// A finder finds the files that a form file names. Folders are listed once.
type finder struct {
	form    string
	alone   bool                // finds files beside the form's alone
	folders map[string][]string // names in a folder
	matched map[string][]string // paths by pattern
}

func (f *finder) sources(p *zones.FilePiece) (sources []Source, err error) {
	for _, name := range p.Files {
		place := fmt.Sprintf("piece %d: files", p.Number)
		paths, err := f.paths(place, name)
		if err != nil {
			return nil, err
		}
		for _, path := range paths {
			sources = append(sources, Source{Input: coverage.Input{Path: path}, Crop: p.Crop, Page: p.Page, place: place})
		}
	}
	for _, ink := range p.Inks {
		place := fmt.Sprintf("piece %d: inks.%s", p.Number, ink.Ink)
		paths, err := f.paths(place+".file", ink.File)
		if err != nil {
			return nil, err
		}
		if len(paths) > 1 {
			return nil, f.refused(place+".file", fmt.Sprintf("%s matches %d files", settings.Quoted(ink.File), len(paths)), "name one")
		}
		sources = append(sources, Source{coverage.Input{Path: paths[0]}, p.Crop, ink.Ink, ink.Page, ink.Channel, place})
	}
	return sources, nil
}

// mostMatches is more than any piece has separations.
const mostMatches = 200

// paths are the files of a name or pattern.
func (f *finder) paths(place, name string) ([]string, error) {
	if zones.IsForm(name) {
		return nil, f.refused(place, settings.Quoted(name)+" is a form file, and no piece of one", "name its separations")
	}
	path := name
	if f.alone {
		name = name[strings.LastIndexAny(name, `/\`)+1:]
	}
	if f.alone && !filepath.IsLocal(name) {
		return nil, f.refused(place, settings.Quoted(name)+" is no file's name", "write one")
	}
	if f.alone || !filepath.IsAbs(name) {
		path = filepath.Join(filepath.Dir(f.form), name)
	}
	if had := f.matched[path]; had != nil {
		return had, nil
	}
	paths := []string{path}
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		return nil, f.refused(place, settings.Quoted(name)+" is a folder", "name the files in it, as "+settings.Quoted(filepath.Join(name, "*.tif")))
	}
	if err != nil {
		if !strings.ContainsAny(filepath.Base(name), "*?[") {
			return nil, f.refused(place, settings.Quoted(name)+": there is no such file", f.elsewhere())
		}
		if paths, err = f.matches(place, path); err != nil {
			return nil, err
		}
	}
	f.matched[path] = paths
	return paths, nil
}

// matches are the files that a pattern matches, in the order of their names. Only a
// file's own name may be a pattern, and no form file matches.
func (f *finder) matches(place, pattern string) ([]string, error) {
	folder, base := filepath.Split(pattern)
	names, listed := f.folders[folder]
	if !listed {
		entries, err := os.ReadDir(filepath.Clean(folder))
		if err != nil {
			return nil, f.refused(place, settings.Quoted(folder)+" cannot be listed as a folder", "a pattern stands in the name of a file alone")
		}
		for _, e := range entries {
			if !e.IsDir() && !zones.IsForm(e.Name()) {
				names = append(names, e.Name())
			}
		}
		f.folders[folder] = names
	}
	var paths []string
	for _, name := range names {
		matched, err := filepath.Match(base, name)
		if err != nil {
			return nil, f.refused(place, settings.Quoted(base)+" is not a pattern", "write * for any letters, ? for one")
		}
		if matched {
			paths = append(paths, filepath.Join(folder, name))
		}
	}
	switch {
	case len(paths) == 0:
		return nil, f.refused(place, "no file matches "+settings.Quoted(base), f.elsewhere())
	case len(paths) > mostMatches:
		return nil, f.refused(place, fmt.Sprintf("%s matches %d files, more than a piece has separations", settings.Quoted(base), len(paths)), "write more of the name")
	}
	slices.Sort(paths)
	return paths, nil
}

// elsewhere is what to do where there is no file of a name.
func (f *finder) elsewhere() string {
	if f.alone {
		return "bring it together with the form's file"
	}
	return "check the name, which is relative to the form's file"
}

func (f *finder) refused(place, what, do string) error {
	return &settings.FileError{File: f.form, Place: place, What: what, Do: do}
}
