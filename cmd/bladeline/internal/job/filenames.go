package job

import (
	"fmt"
	"path/filepath"
	"slices"

	"bladeline/coverage"
	"bladeline/zones"
)

// Codes of warnings of what files are called.
const (
	CodeJobs    = "jobs"    // separations that by their names are of several jobs
	CodeUnnamed = "unnamed" // an ink that has the name of its whole file
)

// ofFileNames are the warnings of what the files of a form are called.
func (t *Ticket) ofFileNames(maps []*coverage.Map) []zones.Warning {
	warnings := t.ofUnnamed(maps)
	if t.Name == "" && t.Form == nil {
		warnings = append(ofSeveralJobs(t.Inputs, coverage.JobName(maps)), warnings...)
	}
	return warnings
}

// ofSeveralJobs warns where separations are by their names of more than one job; an
// ink that was given beside the path vouches for its file.
func ofSeveralJobs(inputs []coverage.Input, called string) []zones.Warning {
	var paths, bases, files, jobs []string
	for _, in := range inputs {
		if in.Inks == nil && hasEnding(in.Path, rasterEndings) {
			paths, bases = append(paths, in.Path), append(bases, filepath.Base(in.Path))
		}
	}
	for i, name := range (Names{}).Read(bases...) {
		if name.Ink != "" && !slices.Contains(jobs, name.Job) {
			files, jobs = append(files, paths[i]), append(jobs, name.Job)
		}
	}
	if len(jobs) < 2 {
		return nil
	}
	return []zones.Warning{{Code: CodeJobs, Text: fmt.Sprintf(
		"%s is by its name of job %s, and %s of job %s; this preset takes them for one job, %s: leave out what is not of it, or say with --job what it is called",
		files[0], jobs[0], files[1], jobs[1], called)}}
}

// ofUnnamed warns of inks that are called as their whole file, unless the file lies
// beside others that are called by an ink alone, as Gold.tif beside Cyan.tif.
func (t *Ticket) ofUnnamed(maps []*coverage.Map) (warnings []zones.Warning) {
	alone := func(m *coverage.Map) bool {
		job, ink := coverage.NameParts(m.File)
		return job == "" && ink != ""
	}
	if slices.ContainsFunc(maps, alone) {
		return nil
	}
	for _, m := range maps {
		_, ink := coverage.NameParts(m.File)
		if ink == "" && m.Sheet == nil && hasEnding(m.File, rasterEndings) && m.Ink == coverage.InkFromName(m.File) && !t.names(m) {
			warnings = append(warnings, zones.Warning{Ink: m.Ink, Code: CodeUnnamed, Text: fmt.Sprintf(
				"neither %s nor its name tells the ink, so it is called as the whole file; give it as INK=FILE, or name the file JOB_INK", m.File)})
		}
	}
	return warnings
}
