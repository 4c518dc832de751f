package main

import (
	"cmp"
	"maps"
	"path/filepath"
	"slices"
	"time"

	"bladeline/cmd/bladeline/internal/hotfolder"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"

	"github.com/spf13/cobra"
)

// watchFlags are the flags of watch alone.
type watchFlags struct {
	out, done, failed  string
	sheet              string
	names, inks        []string
	settle, wait, poll time.Duration
	jobs               int
	once, explain      bool
	rules              string
	log, status        string
}

func newWatch() *cobra.Command {
	var (
		in  inputFlags
		how presetFlags
		f   watchFlags
	)
	c := &cobra.Command{
		Use:   "watch FOLDER --press PRESS --out DIR",
		Short: "Preset what is put into a folder, with nobody looking",
		Long: `watch presets every job that is put into FOLDER, as bladeline preset --job JOB
does, and writes JSON, CSV and, with --sheet, the key sheet into a folder a job
in DIR. It goes on until it is ended.

A job is the separations that belong together by their names: JOB_C.tif,
JOB(Black).tif, JOB.Harbour Red.tif; or one file with all inks. A folder in FOLDER is
one job, called as the folder, whatever its files are called. TIFF, PNG and saved
coverage are read. An ink that is none of the process is told in brackets, behind a
dot, or by --inks; any other word, as in JOB_Gold.tif, is one beside separations of
JOB. A composite, JOB.tif beside its separations, is left out. --names reads other
names, by regular expressions with a group job and a group ink. A form file
(.form.toml) is a job with all that it names, a PDF or PostScript file is one by
itself, unless it is a sheet that bladeline drew. Jobs that are called alike and are
not one, as JOB.pdf beside JOB_C.tif, fail. JPEGs and archives are named in the log.
bladeline watch --explain NAME... says how names are read, and changes nothing.

A job's turn comes when its files have been still for --settle and, with --inks,
all of these are there; what is missing after --wait fails. It is done once: a
record beside its outputs says of which files it was made, by size, time and what
they print. Files that change are a new state of the job, and are preset again;
files that are removed or moved away ask for nothing. To have a job done anew,
remove its folder in DIR and touch one of its files. A CSV that says what was run is
never written over: the next state of the job is then called JOB-2.

A job that fails leaves JOB.error.txt in its folder in DIR: why, and what to do. It is
tried again when its files change, or when watch begins anew. --done and --failed
move a job's files out of FOLDER, into a folder of its own, where they replace
nothing.

Where a disk is full, a folder cannot be written to, or a share is gone, watch says so
once, waits, and goes on when it can. So it does where Ghostscript finds no room for a
PDF. A second watcher of FOLDER or DIR is refused.

Ended by SIGTERM or Ctrl-C, it stops within two seconds; what it was at is done
when it begins again, as it is after any other end.

--once does what there is and ends: with status 1 where a job failed, or lacks
inks, or could not be written.

--rules names a file that says of jobs by their names what they are preset with,
where that is other than the flags say; the first rule that is of a job decides:

  [[rules]]
  names = ["*-uncoated", "news*"]   # * is any letters, ? one
  press = "hall.press.toml"         # each of these may be left out
  curve = "uncoated"
  curves = { Black = "dense.curve.toml" }
  paper = "uncoated"
  sweep = "auto"
  sweeps = { Black = 45 }

All jobs together take less than 256 MiB of memory, however many --jobs are preset
at once, and Ghostscript its own beside that, one PDF at a time.

` + cautions,
		Example: `  bladeline watch plates --press two-colour --out presets --sheet pdf
  bladeline watch plates --press two-colour --out presets --inks Cyan,Magenta,Yellow,Black --done plates/done
  bladeline watch plates --press two-colour --out presets --rules shop.rules.toml --log json --status watch.json
  bladeline watch --explain job_C.tif "job(Harbour Red).tif"`,
		Args: func(c *cobra.Command, args []string) error {
			if f.explain {
				return from(1, 0, "file")(c, args)
			}
			return exactly(1, "the folder to watch")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error { return watch(c, args, &in, &how, &f) },
	}
	how.add(c)
	in.addPlacing(c)
	in.addRaster(c)
	in.addPDF(c, true)
	f.add(c)
	return c
}

func (f *watchFlags) add(c *cobra.Command) {
	flags := c.Flags()
	flags.StringVar(&f.out, "out", "", "write presets into `DIR`, a folder a job; it is made where it is missing")
	flags.StringVar(&f.done, "done", "", "move the files of jobs that are done into `DIR`")
	flags.StringVar(&f.failed, "failed", "", "move the files of jobs that fail into `DIR`, with what says why")
	flags.StringVar(&f.sheet, "sheet", "", "write the key sheet, too, as `FORMAT`: pdf or svg")
	flags.StringArrayVar(&f.names, "names", nil, "read files' names by `PATTERN`, a regular expression with (?P<job>...) and, where the name tells it, (?P<ink>...); may be repeated, the first that matches counts")
	flags.StringSliceVar(&f.inks, "inks", nil, "`INK,INK...` that every job must have, unless it is one file; these are known behind a dash, too")
	flags.DurationVar(&f.settle, "settle", 10*time.Second, "take a file for complete when it has not changed for `TIME`")
	flags.DurationVar(&f.wait, "wait", 30*time.Minute, "wait for inks that are missing as long as `TIME`")
	flags.DurationVar(&f.poll, "poll", 5*time.Second, "look at FOLDER every `TIME`, as network folders do not tell of changes; less often where a look takes long")
	wholeVar(flags, &f.jobs, "jobs", 0, "preset `N` jobs at once; the default is the number of cores, up to 16")
	flags.BoolVar(&f.once, "once", false, "do what there is, and end")
	flags.BoolVar(&f.explain, "explain", false, "say how the names that are given would be read, and do nothing")
	flags.StringVar(&f.rules, "rules", "", "take press, curves, paper and sweep of jobs from `FILE`, by their names")
	flags.StringVar(&f.log, "log", "text", "write the log as `FORMAT`: text or json, a line a job")
	flags.StringVar(&f.status, "status", "", "keep in `FILE` what is waiting and what was done, as JSON")
}

// watch watches a folder, or says how names are read.
func watch(c *cobra.Command, args []string, in *inputFlags, how *presetFlags, f *watchFlags) error {
	names, rules, err := f.reading()
	if err != nil {
		return err
	}
	if f.explain {
		return explain(c, args, names, rules)
	}
	o, err := f.options(c, args[0], in, how)
	if err != nil {
		return err
	}
	o.Names, o.Rules = names, rules
	w, err := hotfolder.New(o)
	if err != nil {
		return err
	}
	ctx, stop := untilInterrupted(c)
	defer stop()
	return w.Run(ctx)
}

// reading is how names are read, and what rules there are.
func (f *watchFlags) reading() (names job.Names, rules *hotfolder.Rules, err error) {
	for _, ink := range f.inks {
		if !settings.IsName(ink) || tooLong(ink) {
			return names, nil, usagef("--inks %s: not the name of an ink; give names as Cyan,Magenta", settings.Quoted(ink))
		}
	}
	if names, err = job.NewNames(f.names, f.inks); err != nil {
		return names, nil, usagef("--names %w", err)
	}
	if f.rules != "" {
		rules, err = hotfolder.LoadRules(f.rules)
	}
	return names, rules, err
}

// options are what the flags ask for, names and rules aside.
func (f *watchFlags) options(c *cobra.Command, folder string, in *inputFlags, how *presetFlags) (hotfolder.Options, error) {
	o := hotfolder.Options{
		Folder: folder, Out: f.out, Done: f.done, Failed: f.failed, Inks: f.inks, Dated: how.date == "", Sheet: f.sheet,
		Settle: f.settle, Wait: f.wait, Poll: f.poll, Jobs: f.jobs, Once: f.once,
		Say: func(err error) string { return shortened(settings.Printable(watchCures.Cured(err).Error())) },
	}
	if err := f.check(c); err != nil {
		return o, err
	}
	var err error
	if o.Ticket, err = how.ticket(c, nil, in, &outputFlags{}); err != nil {
		return o, err
	}
	if o.Ticket.Reading, err = in.readingNothing(); err != nil {
		return o, err
	}
	if _, _, err := job.LoadPress(o.Ticket.Press); err != nil {
		return o, err
	}
	for _, curve := range o.Ticket.Curves {
		if _, err := job.LoadCurve(curve.Value); err != nil {
			return o, err
		}
	}
	o.Ticket.Cure = cureForWatch
	log := &watchLog{to: c.OutOrStdout(), json: f.log == "json"}
	o.Log = log.write
	if f.status != "" {
		o.Status = func(s hotfolder.Status) { log.writeStatus(f.status, s) }
	}
	return o, nil
}

// check refuses wrong flags before anything is looked at.
func (f *watchFlags) check(c *cobra.Command) error {
	switch {
	case f.out == "":
		return usagef("--out is missing; name the folder that presets are written to")
	case f.sheet != "" && f.sheet != "pdf" && f.sheet != "svg":
		return usagef("--sheet %s: not known; give pdf or svg", f.sheet)
	case f.log != "text" && f.log != "json":
		return usagef("--log %s: not known; give text or json", f.log)
	case f.settle < 0 || f.wait < 0:
		return usagef("--settle and --wait are times from 0 on; give them as 10s or 20m")
	case f.poll < 100*time.Millisecond:
		return usagef("--poll %v: is too short; give 100ms or more", f.poll)
	case c.Flags().Changed("jobs") && (f.jobs < 1 || f.jobs > hotfolder.MostJobs):
		return usagef("--jobs %d: not a number of jobs; give 1 to %d", f.jobs, hotfolder.MostJobs)
	}
	return nil
}

// watchCures are what to do where no command line is typed anew for a file.
var watchCures = func() job.Cures {
	all := maps.Clone(cures)
	all[coverage.CodeInkCount] = job.Always("name the file so that no single ink is read off its name, or correct --names")
	all[zones.CodeSameInk] = job.Always("take one away, or rename it; bladeline watch --explain says how names are read")
	all[job.CodeManyPages] = job.Always("put each page into a file of its own, or give --pages")
	return all
}()

// cureForWatch adds to warnings what to do about them.
func cureForWatch(warnings []zones.Warning) { addCures(watchCures, warnings) }

// explain says how names of files are read.
func explain(c *cobra.Command, args []string, names job.Names, rules *hotfolder.Rules) error {
	t := &table{align: "lllll"}
	t.row("file", "job", "ink", "read as", "preset by")
	var slashed []string
	for _, sheet := range args {
		if job.IsOwnSheet(sheet) {
			t.row(sheet, "", "", "left out, as "+job.OwnSheet, "")
		}
	}
	args = slices.DeleteFunc(slices.Clone(args), job.IsOwnSheet)
	for _, arg := range args {
		slashed = append(slashed, filepath.ToSlash(arg))
	}
	for i, n := range names.Read(slashed...) {
		ink, by := n.Ink, ""
		if n.Job != "" {
			ink, by = cmp.Or(ink, "as the file says"), cmp.Or(rules.Of(n.Job), "the flags")
		}
		if n.Job == "" || n.LeftOut {
			ink, by = "", ""
		}
		if n.Refused != nil {
			by = "none: it fails"
			say(c, n.Refused.Error())
		}
		t.row(args[i], n.Job, ink, n.By, by)
	}
	return t.write(c.OutOrStdout())
}
