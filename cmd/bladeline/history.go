package main

import (
	"fmt"
	"io"
	"slices"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset/history"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// historyFlags are the flags of history alone.
type historyFlags struct {
	presses []string
	since   string
	last    int
}

func newHistory() *cobra.Command {
	var (
		out outputFlags
		in  inputFlags
		how historyFlags
	)
	c := &cobra.Command{
		Use:   "history FOLDER",
		Short: "Look back over what was run, job by job",
		Long: `history reads every OK file in a folder and in the folders in it, and says how
well the presets did: how many keys were right at once, how often the sweep was
moved, and how that changes from month to month. Then it looks for what lies
behind it:

  a key that reads too high or too low and was moved that way, by a step of its
  scale or a point of travel at least, in three jobs or more and to this day: its
  zero has moved, as against the one that the press's file states now;
  an ink whose presets ask for too much or too little on a paper, 5 % or more by the
  median of its jobs, three jobs or more and three of four to the same side: its
  curve is due.

A key counts as right within a step where it was moved by one step of its scale
or not at all, and within 10 % where its opening x sweep stayed that close to
what was preset: about 0.05 of density. Zones that only bear marks, zones off
the sheet and keys that were not read are left out.

The steps and the travel of a scale stand in the press's file: name every --press
that the jobs were run on. Of jobs on other presses it only counts what was read
and whether the sweep was moved. Keys have the zeros and the sweep of the unit
that they were run in. An id in the press's file holds the jobs together that
were run before it was renamed.

A job's day is the one that its preset states; where it states none, the day
that its file was last changed. The files are only read. One that is no preset,
cannot be read, or is a copy of another with the same day, is named and skipped.`,
		Example: `  bladeline history ok/ --press hall.press.toml
  bladeline history ok/ --press hall.press.toml --since 2026-06-01 -o history.pdf -o history.csv`,
		Args: exactly(1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error { return lookBack(c, args[0], &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringArrayVar(&how.presses, "press", nil, "a `PRESS` that jobs were run on: a file, or a name that press list shows; may be repeated")
	flags.StringVar(&how.since, "since", "", "leave out what was run before `DAY`, as 2026-03-14")
	wholeVar(flags, &how.last, "last", 20, "list the last `N` jobs in the table; 0 lists all")
	flags.BoolVar(&in.strict, "strict", false, "exit with status 3 where files were skipped")
	out.add(c, ".csv, .json, or .pdf or .svg for a picture")
	return c
}

func lookBack(c *cobra.Command, folder string, in *inputFlags, out *outputFlags, how *historyFlags) error {
	if err := how.check(out); err != nil {
		return err
	}
	past, err := job.LookBack{Folder: folder, Presses: how.presses, Since: how.since}.History(c.Context())
	if err != nil {
		return err
	}
	page := func() (*sheet.Page, error) { return sheet.HistoryPage(past.History, folder, "") }
	if err := out.write(c, map[string]format{
		"table": func(w io.Writer) error { return writeHistory(w, past, how) },
		"csv":   past.WriteCSV,
		"json":  past.WriteJSON,
		"pdf": func(w io.Writer) error {
			p, err := page()
			if err != nil {
				return err
			}
			return sheet.WritePDF(w, []*sheet.Page{p})
		},
		"svg": func(w io.Writer) error {
			p, err := page()
			if err != nil {
				return err
			}
			return sheet.WriteSVG(w, p)
		},
	}); err != nil {
		return err
	}
	for _, bad := range past.Bad {
		fmt.Fprintf(c.ErrOrStderr(), "bladeline: warning: skipped: %s\n", settings.Printable(bad.Error()))
	}
	if in.strict && len(past.Bad) > 0 {
		return errWarnings
	}
	return nil
}

// check refuses wrong flags before anything is read.
func (how *historyFlags) check(out *outputFlags) error {
	if how.since != "" {
		if day, err := time.Parse(time.DateOnly, how.since); err != nil || day.Format(time.DateOnly) != how.since {
			return usagef("--since %s: not a day; give one as 2026-03-14", how.since)
		}
	}
	if how.last < 0 {
		return usagef("--last %d: not a number of jobs; give 1 or more, or 0 for all", how.last)
	}
	return out.check([]string{"csv", "json", "pdf", "svg"}, nil)
}

// writeHistory prints what was found, the months, and the last jobs.
func writeHistory(w io.Writer, past *job.Past, how *historyFlags) error {
	h := past.History
	fmt.Fprintln(w, spanOf(past))
	if past.Undated > 0 {
		fmt.Fprintf(w, "%s without a date, under the day on which the file was last changed\n", counted(past.Undated, "job"))
	}
	if len(h.Jobs) == 0 {
		return nil
	}
	for _, text := range elsewhere(h) {
		fmt.Fprintln(w, settings.Printable(text))
	}
	fmt.Fprintln(w)
	for _, text := range h.Findings {
		fmt.Fprintln(w, settings.Printable(text))
	}
	if len(h.Findings) == 0 {
		fmt.Fprintln(w, foundNothing(h))
	}
	if err := writeMonths(w, h); err != nil {
		return err
	}
	return writeJobs(w, h, how.last)
}

// spanOf says how many jobs there are, and from when to when.
func spanOf(past *job.Past) string {
	jobs := past.History.Jobs
	text := "no job that says what was run"
	if len(jobs) > 0 {
		first, last := jobs[0].Date, jobs[len(jobs)-1].Date
		text = fmt.Sprintf("%s, %s", counted(len(jobs), "job"), first)
		if last != first {
			text += " to " + last
		}
	}
	if past.NotRun > 0 {
		text += fmt.Sprintf("; %s with no ok_key filled in", counted(past.NotRun, "preset"))
	}
	return text
}

// elsewhere names the presses that were not given, where others were.
func elsewhere(h *history.History) []string {
	var names []string
	jobs := map[string]int{}
	known := false
	for _, j := range h.Jobs {
		if !slices.ContainsFunc(j.Units, func(u history.JobUnit) bool { return u.Read > 0 && u.WithinStepPct == nil }) {
			known = true
			continue
		}
		if jobs[j.Press] == 0 {
			names = append(names, j.Press)
		}
		jobs[j.Press]++
	}
	var texts []string
	for _, name := range names {
		if known {
			texts = append(texts, fmt.Sprintf("%s on %s: name that --press, too, to see how close the keys came", counted(jobs[name], "job"), name))
		}
	}
	return texts
}

// foundNothing says what it means that nothing was found.
func foundNothing(h *history.History) string {
	for _, m := range h.Months {
		if m.WithinStepPct != nil {
			return "no key has drifted, and no ink is preset too much or too little, as far as these jobs show"
		}
	}
	return "give the --press of these jobs to see how close they came, and which keys drift"
}

func writeMonths(w io.Writer, h *history.History) error {
	fmt.Fprintln(w, "\nkeys right at once, and sweeps moved:")
	t := &table{align: "lrrrrr"}
	t.row("month", "jobs", "keys read", "within a step", "ink within 10 %", "sweeps moved")
	for _, m := range h.Months {
		t.row(m.Month, fmt.Sprint(m.Jobs), fmt.Sprint(m.Read), wholePct(m.WithinStepPct), wholePct(m.WithinFeedPct), fmt.Sprintf("%d of %d", m.SweepsMoved, m.Units))
	}
	return t.write(w)
}

func writeJobs(w io.Writer, h *history.History, last int) error {
	jobs := h.Jobs
	if last > 0 && len(jobs) > last {
		jobs = jobs[len(jobs)-last:]
		fmt.Fprintf(w, "\nthe last %d jobs (--last 0 lists all):\n", last)
	} else {
		fmt.Fprintln(w, "\njob by job:")
	}
	t := &table{align: "llllrrrrl"}
	t.row("date", "job", "ink", "paper", "keys read", "within a step", "ink within 10 %", "ink run", "sweep")
	for _, j := range jobs {
		for _, u := range j.Units {
			fuller, paper := "?", "?"
			if u.FullerPct != nil {
				fuller = signedPct(*u.FullerPct)
			}
			if j.Paper != nil {
				paper = *j.Paper
			}
			t.row(j.Date, j.Job, u.Ink, paper, fmt.Sprint(u.Read), wholePct(u.WithinStepPct), wholePct(u.WithinFeedPct), fuller, sweepMoved(u))
		}
	}
	return t.write(w)
}

// wholePct prints a percentage that may not be known.
func wholePct(v *float64) string {
	if v == nil {
		return "?"
	}
	return fixed(0, *v) + " %"
}

// signedPct prints a percentage with its sign; a zero has none.
func signedPct(v float64) string {
	if text := fixed(0, v); text == "0" || text == "-0" {
		return "0 %"
	}
	return fmt.Sprintf("%+.0f %%", v)
}

func sweepMoved(u history.JobUnit) string {
	if u.OKSweep == u.Sweep {
		return fmt.Sprintf("%g", u.Sweep)
	}
	return fmt.Sprintf("%g, run at %g", u.Sweep, u.OKSweep)
}
