package job

import (
	"cmp"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
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

// Sets finds the jobs that files belong to, in the order of folders and names:
//
//   - separations whose names say job and ink, as job_C.tif, job-cyan.png,
//     job(Black).tif and job.Harbour Red.tif, are a job by what stands before the
//     ink; so are, beside those, files with any other word behind it, as job_Red.tif;
//   - where a folder holds a file that is called by a process ink alone, as Cyan.tif
//     or K.png, that one and all whose names say no more are a job, called as the folder;
//   - any other raster, a PDF or PostScript file, saved coverage and a form file are
//     a job each. What a form file names is part of that alone.
//
// No file is read but form files, for the names in them.
func Sets(paths []string) []Set {
	folders := map[string][]string{}
	for _, path := range withoutPieces(paths) {
		folder := filepath.Dir(path)
		folders[folder] = append(folders[folder], path)
	}
	var sets []Set
	for folder, files := range folders {
		sets = append(sets, setsIn(folder, files)...)
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

// A grouping is the files of one folder on their way to jobs.
type grouping struct {
	byName  map[string][]string // separations, by job
	byInk   []string            // that name an ink alone
	plain   []string            // that name no ink
	alone   []string            // jobs by themselves
	leftOut map[string][]string // composites, by job
}

func setsIn(folder string, paths []string) []Set {
	g := grouping{byName: map[string][]string{}, leftOut: map[string][]string{}}
	for _, path := range paths {
		g.add(path)
	}
	g.place()
	var sets []Set
	for name, files := range g.byName {
		sets = append(sets, Set{Name: name, Folder: folder, Inputs: inputs(files), LeftOut: g.leftOut[name]})
	}
	for _, path := range g.alone {
		sets = append(sets, Set{Name: nameAlone(path), Folder: folder, Inputs: inputs([]string{path})})
	}
	if len(g.byInk) > 0 {
		sets = append(sets, Set{Name: folderName(folder), Folder: filepath.Dir(folder), Inputs: inputs(g.byInk)})
	}
	return sets
}

func (g *grouping) add(path string) {
	if !isRaster(path) {
		g.alone = append(g.alone, path)
		return
	}
	switch name, ink := coverage.NameParts(path); {
	case ink == "":
		g.plain = append(g.plain, path)
	case name == "":
		g.byInk = append(g.byInk, path)
	default:
		g.byName[name] = append(g.byName[name], path)
	}
}

// place finds where files belong whose names say no ink, when all others are known.
func (g *grouping) place() {
	known := slices.SortedFunc(maps.Keys(g.byName), func(a, b string) int { // the longest first
		return cmp.Or(cmp.Compare(len(b), len(a)), cmp.Compare(a, b))
	})
	for _, path := range g.plain {
		stem := coverage.Stem(path)
		of := slices.IndexFunc(known, func(name string) bool { return stem == name || hasInkBehind(stem, name) })
		switch {
		case of >= 0 && stem == known[of]:
			g.leftOut[stem] = append(g.leftOut[stem], path)
		case of >= 0:
			g.byName[known[of]] = append(g.byName[known[of]], path)
		case len(g.byInk) > 0:
			g.byInk = append(g.byInk, path)
		default:
			g.alone = append(g.alone, path)
		}
	}
}

// hasInkBehind tells whether a word that may be an ink's stands behind a job's name.
func hasInkBehind(stem, name string) bool {
	word, begins := strings.CutPrefix(stem, name)
	return begins && len(word) > 1 && strings.ContainsRune("_-", rune(word[0]))
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
			first.Refused = fmt.Errorf("%s: is a job of the same name as %s; name the one that is meant, or rename a file", s.Inputs[0].Path, first.Inputs[0].Path)
		}
		first.Inputs = append(first.Inputs, s.Inputs...)
		first.LeftOut = append(first.LeftOut, s.LeftOut...)
	}
	return all
}

func inputs(paths []string) []coverage.Input {
	var all []coverage.Input
	for _, path := range slices.Sorted(slices.Values(paths)) {
		all = append(all, coverage.Input{Path: path})
	}
	return all
}

// nameAlone is what a job of one file is called.
func nameAlone(path string) string {
	switch base := filepath.Base(path); {
	case isRaster(path):
		name, _ := coverage.NameParts(path)
		return name
	case zones.IsForm(path):
		return onOneLine(base[:len(base)-len(zones.FormEnding)])
	default:
		return onOneLine(coverage.Stem(path))
	}
}

func onOneLine(name string) string {
	return strings.TrimSpace(settings.Printable(strings.ToValidUTF8(name, "")))
}

// folderName is what a folder is called, also the one that is worked in.
func folderName(folder string) string {
	if absolute, err := filepath.Abs(folder); err == nil {
		folder = absolute
	}
	return onOneLine(filepath.Base(folder))
}

// rasterEndings are those of files that may be one separation of several.
var rasterEndings = []string{".tif", ".tiff", ".png"}

// aloneEndings are those of files that hold all that is printed.
var aloneEndings = []string{".pdf", ".ps", ".eps", ".cover"}

func isRaster(path string) bool { return hasEnding(path, rasterEndings) }

// MayBeOfAJob tells by a file's name whether a folder of jobs would hold it for its
// separations. Names that begin with a dot are of files that are hidden or not done.
func MayBeOfAJob(path string) bool {
	base := filepath.Base(path)
	return !strings.HasPrefix(base, ".") && (isRaster(base) || hasEnding(base, aloneEndings) || zones.IsForm(base))
}

func hasEnding(path string, endings []string) bool {
	return slices.Contains(endings, strings.ToLower(filepath.Ext(path)))
}
