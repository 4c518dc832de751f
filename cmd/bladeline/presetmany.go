package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/zones/preset"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
)

// ofMany tells whether the arguments are of many jobs, not of one form.
func (how *presetFlags) ofMany(args []string) bool {
	return how.out != "" || slices.ContainsFunc(args, job.IsFolder)
}

// A batch is many jobs that are preset alike.
type batch struct {
	c      *cobra.Command
	in     *inputFlags
	how    *presetFlags
	ticket job.Ticket // of each, but for its files
	sets   []job.Set
	files  [][]job.Output // of each
	bar    *progressbar.ProgressBar

	summary table
	failed  []string // names of jobs
	warned  bool
	inks    []string // of all jobs that were preset
}

// makePresets presets every job that files and folders hold, and goes on past
// those that fail.
func makePresets(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *presetFlags) error {
	kinds, err := how.kinds(args, out)
	if err != nil {
		return err
	}
	b := &batch{c: c, in: in, how: how, summary: table{align: "llrl"}}
	if b.ticket, err = how.ticket(c, nil, in, out); err != nil {
		return err
	}
	b.ticket.OfMany = true
	if _, _, err := job.LoadPress(how.press); err != nil {
		return err
	}
	names, err := job.NewNames(how.names, nil)
	if err != nil {
		return usagef("--names %w", err)
	}
	paths, sheets, err := names.FilesOfJobs(args, how.out)
	if err != nil {
		return err
	}
	for _, path := range sheets {
		say(c, fmt.Sprintf("%s: is left out, as %s", path, job.OwnSheet))
	}
	b.sets = names.Sets(paths)
	if how.job != "" && len(b.sets) > 1 {
		return usagef("--job %s: is the name of one job, and there are %d; leave it out", how.job, len(b.sets))
	}
	searched := slices.DeleteFunc(slices.Clone(args), func(arg string) bool { return !job.IsFolder(arg) })
	for _, s := range b.sets {
		b.files = append(b.files, s.Files(how.out, searched, kinds))
	}
	return b.run()
}

// kinds are the endings of the files that each job is written to. Flags of one job
// alone are refused.
func (how *presetFlags) kinds(args []string, out *outputFlags) ([]string, error) {
	if how.out == "" {
		return nil, usagef("%s: is a folder of jobs; give --out with another folder, for their presets", args[slices.IndexFunc(args, job.IsFolder)])
	}
	for _, arg := range args {
		if inks, _ := splitInks(arg); inks != nil {
			return nil, usagef("%s: names the ink of a file, and with --out the files' names say what belongs to which job; leave the ink or --out out", arg)
		}
		if job.SameFile(arg, how.out) {
			return nil, usagef("--out %s: is a folder of jobs itself, where key sheets would be taken for jobs; give another", how.out)
		}
	}
	switch {
	case len(out.files) > 0:
		return nil, usagef("-o %s: is of one job; with --out give the kinds of files by --as, as csv,pdf", out.files[0])
	case out.format != "":
		return nil, usagef("--format %s: is of one job; with --out give the kinds of files by --as, as csv,pdf", out.format)
	}
	kinds := strings.Split(how.as, ",")
	for i, kind := range kinds {
		if !slices.Contains(job.PresetFormats, kind) || slices.Contains(kinds[:i], kind) {
			return nil, usagef("--as %s: not kinds of files; give some of %s, each once", how.as, strings.Join(job.PresetFormats, ","))
		}
	}
	return kinds, nil
}

// run presets the jobs in their order until it is interrupted.
func (b *batch) run() error {
	ctx, stop := untilInterrupted(b.c)
	defer stop()
	b.bar = progress(b.c, "")
	b.summary.row("job", "inks", "warnings", "written")
	done := 0
	for i := range b.sets {
		p, err := b.preset(ctx, i)
		if ctx.Err() != nil && err != nil {
			break
		}
		done++
		b.tell(i, p, err)
	}
	b.bar.Finish()
	if err := b.summary.write(b.c.OutOrStdout()); err != nil {
		return job.Unwritten("standard output", err)
	}
	b.sayUnasked()
	switch {
	case done < len(b.sets):
		return fmt.Errorf("interrupted after %d of %d jobs; of the others nothing was written", done, len(b.sets))
	case len(b.failed) > 0:
		return fmt.Errorf("%d of %d jobs failed: %s", len(b.failed), len(b.sets), strings.Join(b.failed, ", "))
	case b.warned && b.in.strict:
		return errWarnings
	}
	return nil
}

// preset works out one job and writes its files.
func (b *batch) preset(ctx context.Context, i int) (*preset.Preset, error) {
	set := &b.sets[i]
	b.bar.Describe(fmt.Sprintf("%d of %d, %s", i+1, len(b.sets), shortened(set.Name)))
	if set.Refused != nil {
		return nil, set.Refused
	}
	for before, files := range b.files[:i] {
		if strings.EqualFold(files[0].Path, b.files[i][0].Path) {
			return nil, fmt.Errorf("%s: is a job of the same name as %s; preset it by itself, into another folder", set.Inputs[0].Path, b.sets[before].Inputs[0].Path)
		}
	}
	t := b.ticket
	if t.Name == "" {
		t.Name = set.Name
	}
	var err error
	if t.Reading, err = b.in.readingOf(set.Inputs); err != nil {
		return nil, err
	}
	t.Progress = func(done float64) { b.bar.Set(int(100 * (float64(i) + done) / float64(len(b.sets)))) }
	t.Outputs = b.files[i]
	var blank []*coverage.Map
	t.Blank = func(m *coverage.Map) { blank = append(blank, m) }
	remove, err := job.NewFolder(filepath.Dir(t.Outputs[0].Path))
	if err != nil {
		return nil, err
	}
	p, err := job.Run(ctx, t)
	if err != nil {
		remove()
		return nil, b.how.flagged(err)
	}
	b.bar.Clear()
	sayBlank(b.c, blank)
	return p, nil
}

// tell says what became of a job.
func (b *batch) tell(i int, p *preset.Preset, err error) {
	set := &b.sets[i]
	b.bar.Clear()
	if err != nil {
		sayError(b.c.ErrOrStderr(), err)
		b.failed = append(b.failed, set.Name)
		b.summary.row(set.Name, "", "", "failed")
		return
	}
	for _, path := range set.LeftOut {
		say(b.c, fmt.Sprintf("%s: is left out, as the composite of %s by its name", path, set.Name))
	}
	b.warned = b.in.sayWarnings(b.c, set.Name, p.Warnings) || b.warned
	var inks, kinds []string
	for _, u := range p.Units {
		inks = append(inks, u.Ink)
	}
	for _, o := range b.files[i] {
		kinds = append(kinds, filepath.Ext(o.Path))
	}
	b.inks = append(b.inks, inks...)
	warnings := ""
	if len(p.Warnings) > 0 {
		warnings = fmt.Sprint(len(p.Warnings))
	}
	kinds[0] = b.files[i][0].Path // which the others have in common but for their endings
	b.summary.row(set.Name, strings.Join(inks, ", "), warnings, strings.Join(kinds, ", "))
}

// sayUnasked names what was asked for inks that no job has.
func (b *batch) sayUnasked() {
	if len(b.inks) == 0 {
		return
	}
	has := func(ink string) bool {
		return slices.ContainsFunc(b.inks, func(known string) bool { return strings.EqualFold(known, ink) })
	}
	for _, asked := range []struct {
		flag  string
		given []string
	}{{"--curve", b.how.curves}, {"--sweep", b.how.sweeps}, {"--unit", b.how.units}} {
		for _, text := range asked.given {
			if ink, _, named := strings.Cut(text, "="); named && !has(ink) {
				say(b.c, fmt.Sprintf("warning: %s %s: no job has this ink", asked.flag, text))
				b.warned = true
			}
		}
	}
}
