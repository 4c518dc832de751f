package job

import (
	"cmp"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/coverage"
	"bladeline/zones"

	"golang.org/x/text/unicode/norm"
)

// Names tell of which job a file is, and of which ink, by its name alone.
type Names struct {
	patterns []*regexp.Regexp
	inks     []string
}

// NewNames are names as patterns say, regular expressions with a group job and,
// where the name tells it, a group ink; none are the names that programs which
// separate write. inks are known behind a dash, beside those of the process.
func NewNames(patterns, inks []string) (Names, error) {
	n := Names{inks: inks}
	for _, text := range patterns {
		p, err := regexp.Compile(text)
		if err != nil {
			return n, fmt.Errorf("%s: %s; correct it, in the syntax of Go's package regexp", text, strings.TrimPrefix(err.Error(), "error parsing regexp: "))
		}
		if p.SubexpIndex("job") < 0 {
			return n, fmt.Errorf("%s: has no group job; add one, as (?P<job>.+)_(?P<ink>[^_]+)[.]tif", text)
		}
		n.patterns = append(n.patterns, p)
	}
	return n, nil
}

// A Name is what was read off the name of a file.
type Name struct {
	Job string // in Unicode's composed form, whichever the file's name has; "" is no job's
	Ink string // "" where the name does not tell
	// Given tells that the ink goes by this name, whatever else the file's name and
	// the file may say of it.
	Given bool
	// Beside tells that the names of other files make it a separation of their job,
	// of an ink that it says itself.
	Beside bool
	// LeftOut tells that other files are the separations of which it is the composite.
	LeftOut bool
	By      string // how the name was read; of no job's, why not
	// Refused is why it is not known which job the file is of: another one is called as
	// its job is. nil where that is known.
	Refused error

	folder, own string // the folder that it lies in, and the job by its own name alone
	plain       bool   // a raster whose own name tells no ink
	matched     bool   // a pattern
}

// rasterEndings are those of files that may be one separation of several, pageEndings
// those of files that hold whole pages.
var (
	rasterEndings = []string{".tif", ".tiff", ".png"}
	pageEndings   = []string{".pdf", ".ps", ".eps"}
)

const coverEnding = ".cover"

// IsPages tells by a file's name whether it holds whole pages.
func IsPages(name string) bool { return hasEnding(name, pageEndings) }

// IsWhole tells by a file's name whether it has all of a job.
func IsWhole(name string) bool { return zones.IsForm(name) || IsPages(name) }

func hasEnding(name string, endings []string) bool {
	return slices.Contains(endings, strings.ToLower(path.Ext(name)))
}

// unfinished are endings that programs give to files that they are still writing.
var unfinished = []string{".part", ".partial", ".filepart", ".crdownload", ".download", ".tmp", ".temp", ".swp", "~"}

// Read reads the names of files, with slashes, that lie beside one another. A file in
// a folder belongs to the job that the folder is called by. Others are separations of
// one job by what stands before the ink; so are, beside those, files with any other
// word behind it, as job_Red.tif. What is called as they are without an ink is their
// composite. Jobs that are called alike and are not one are refused.
func (n Names) Read(names ...string) []Name {
	all := make([]Name, len(names))
	for i, name := range names {
		all[i] = n.alone(name)
	}
	joined(all)
	refuseNamesakes(names, all)
	return all
}

// isOfAJob tells by a file's name whether it is of a job.
func (n Names) isOfAJob(name string) bool { return n.alone(name).Job != "" }

// alone reads a name by itself.
func (n Names) alone(name string) Name {
	folder, base := path.Split(name)
	folder = strings.TrimSuffix(folder, "/")
	lower := strings.ToLower(base)
	stem := base[:len(base)-len(path.Ext(base))]
	switch {
	case strings.HasPrefix(base, ".") || strings.HasPrefix(folder, "."):
		return Name{By: "hidden"}
	case slices.ContainsFunc(unfinished, func(end string) bool { return strings.HasSuffix(lower, end) }):
		return Name{By: "not finished, as its ending says"}
	case strings.Contains(folder, "/"):
		return Name{By: "in a folder within a job's folder"}
	}
	if found, is := n.byPattern(name); is {
		return found
	}
	switch {
	case zones.IsForm(base):
		return Name{Job: jobName(cmp.Or(folder, base[:len(base)-len(zones.FormEnding)])), By: "a form file"}
	case IsPages(base):
		return Name{Job: jobName(cmp.Or(folder, stem)), By: "a PDF or PostScript file"}
	case !hasEnding(base, rasterEndings) && path.Ext(lower) != coverEnding:
		return Name{By: noJobs(base)}
	case len(n.patterns) > 0:
		return Name{By: "no pattern matches"}
	}
	found := n.usual(folder, stem)
	found.plain = found.Ink == "" && path.Ext(lower) != coverEnding
	return found
}

// joined finds where files belong whose names tell no ink, when all others are known.
func joined(all []Name) {
	jobs := map[[2]string]Name{} // by folder and own name
	var longest []string
	inkIn := map[string]bool{} // folders
	for _, f := range all {
		if key := [2]string{f.folder, f.own}; f.own != "" && f.Ink != "" && jobs[key].Job == "" {
			jobs[key] = f
			longest = append(longest, f.own)
			inkIn[f.folder] = true
		}
	}
	slices.SortFunc(longest, func(a, b string) int { return cmp.Or(cmp.Compare(len(b), len(a)), cmp.Compare(a, b)) })
	for i := range all {
		f := &all[i]
		if !f.plain {
			continue
		}
		of := slices.IndexFunc(longest, func(own string) bool {
			_, there := jobs[[2]string{f.folder, own}]
			return there && (f.own == own || hasInkBehind(f.own, own))
		})
		switch {
		case of >= 0 && f.own == longest[of]:
			f.LeftOut, f.By = true, "the composite of "+f.Job+", left out"
		case of >= 0:
			f.Job, f.Beside, f.By = jobs[[2]string{f.folder, longest[of]}].Job, true, f.besideBy("JOB_INK, beside others")
		case f.folder != "" && inkIn[f.folder]:
			f.Beside = true
		}
	}
}

// refuseNamesakes refuses files of jobs that are called alike, also but for capitals,
// which some systems do not tell apart.
func refuseNamesakes(names []string, all []Name) {
	firsts := map[string][]int{} // files of different jobs, by what these are called
	for i := range all {
		called := strings.ToLower(all[i].Job)
		isOf := func(first int) bool { return all[first].set(names[first]) == all[i].set(names[i]) }
		if called != "" && !slices.ContainsFunc(firsts[called], isOf) {
			firsts[called] = append(firsts[called], i)
		}
	}
	for i := range all {
		of := firsts[strings.ToLower(all[i].Job)]
		if len(of) < 2 {
			continue
		}
		other := of[0]
		if all[other].set(names[other]) == all[i].set(names[i]) {
			other = of[1]
		}
		all[i].Refused = namesakes(names[i], names[other])
	}
}

// namesakes refuses a file of a job that is called as another file's.
func namesakes(file, other string) error {
	return fmt.Errorf("%s: is a job of the same name as %s; rename the files of one, or take them away", file, other)
}

// set tells the files of one job, as far as names say, from those of others: a file
// that has all of its job is one by itself, and others are what their folder and
// their job are called.
func (f *Name) set(name string) string {
	if IsWhole(name) || f.HasAllInks() && !f.matched && f.folder == "" {
		return "file " + name
	}
	return "job " + path.Join(f.folder, f.Job)
}

func (f *Name) besideBy(how string) string {
	if f.folder != "" {
		return "a folder a job, " + how
	}
	return how
}

// hasInkBehind tells whether a word that may be an ink's stands behind a job's name.
func hasInkBehind(stem, name string) bool {
	word, begins := strings.CutPrefix(stem, name)
	return begins && len(word) > 1 && strings.ContainsRune("_-", rune(word[0]))
}

// byPattern reads a name by the first pattern that matches all of it.
func (n Names) byPattern(name string) (Name, bool) {
	for i, p := range n.patterns {
		at := p.FindStringSubmatchIndex(name)
		if at == nil || at[0] != 0 || at[1] != len(name) {
			continue
		}
		group := func(of string) string {
			if g := p.SubexpIndex(of); g >= 0 && at[2*g] >= 0 {
				return strings.TrimSpace(name[at[2*g]:at[2*g+1]])
			}
			return ""
		}
		found := Name{Job: jobName(group("job")), Ink: inkCalled(group("ink")), By: fmt.Sprintf("pattern %d", i+1), matched: true}
		found.Given = found.Ink != ""
		return found, true
	}
	return Name{}, false
}

var (
	inBrackets = regexp.MustCompile(`(?s)^(.*)\(([^()]+)\)$`)
	behindDot  = regexp.MustCompile(`(?s)^(.*)\.([^.]*[^.0-9][^.]*)$`)
)

// usual reads names as programs that separate write them.
func (n Names) usual(folder, stem string) Name {
	job, ink, by := stem, "", "the whole name, no ink is told"
	if m := inBrackets.FindStringSubmatch(stem); m != nil {
		job, ink, by = m[1], m[2], "JOB(INK)"
	} else if before, behind, is := n.behindDash(stem); is {
		job, ink, by = before, behind, "JOB_INK"
	} else if m := behindDot.FindStringSubmatch(stem); m != nil {
		job, ink, by = m[1], m[2], "JOB.INK"
	}
	own := job
	if folder != "" {
		job, by = folder, "a folder a job, "+by
		if all, is := n.known(stem); ink == "" && is { // FOLDER/C.tif
			own, ink, by = "", all, "a folder a job, INK"
		}
	}
	ink = inkCalled(ink)
	found := Name{Job: jobName(cmp.Or(job, stem)), Ink: ink, By: by, folder: folder, own: jobName(cmp.Or(own, stem))}
	found.Given = ink != "" && ink != coverage.InkFromName(stem+".tif")
	return found
}

// behindDash takes the name of a known ink off the end of a stem.
func (n Names) behindDash(stem string) (job, ink string, is bool) {
	for at, r := range stem {
		if r != '_' && r != '-' {
			continue
		}
		if ink, is := n.known(stem[at+1:]); is {
			return stem[:at], ink, true
		}
	}
	return "", "", false
}

// known is an ink of the process or one that was named, as it is called.
func (n Names) known(text string) (string, bool) {
	for _, ink := range n.inks {
		if strings.EqualFold(ink, norm.NFC.String(text)) {
			return ink, true
		}
	}
	return coverage.ProcessInk(text)
}

// inkCalled is the name of an ink of which a file's name may have the letter.
func inkCalled(text string) string {
	if ink, is := coverage.ProcessInk(text); is {
		return ink
	}
	return oneLine(text)
}

// jobName is what a job is called: on one line, composed, and without what parts it
// from the ink.
func jobName(text string) string {
	name := oneLine(text)
	return cmp.Or(strings.TrimRight(name, " _-."), name, "unnamed")
}

// oneLine is a text on one line, in UTF-8 and composed: file systems and programs
// differ in how they write é.
func oneLine(text string) string {
	text = strings.Map(func(r rune) rune {
		if !unicode.IsGraphic(r) || r == utf8.RuneError {
			return ' '
		}
		return r
	}, text)
	return strings.TrimSpace(norm.NFC.String(text))
}
