package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newOK() *cobra.Command {
	var t job.OKTicket
	c := &cobra.Command{
		Use:   "ok JOB.csv [INK:]ZONE=KEY... [sweep=SWEEP] [rest]",
		Short: "Write into a preset's CSV what was finally run, without a spreadsheet",
		Long: `ok fills in ok_key and ok_sweep of a preset's CSV, which makes it the job's OK file.
Everything else in the file stays, your own columns and remarks too.

  3=5/8         key 3 stood at 5/8; 0.625, 1-5/8 and 37 are read, too
  3-5,9=1/2     keys 3, 4, 5 and 9 did
  3=+1/8        key 3 stood 1/8 wider than preset; 3=-1/8, narrower
  3=-           key 3 was not read, after all
  sweep=5       the sweep; +1 and -1 count from the preset's
  rest          all keys that are not read stood as preset; of every ink, where none
                was named before

Of several inks, name one before its first key: Black:3=5/8 7=1 Cyan:4=3/8. It holds
until the next is named; the beginning of its name will do.

A setting that the press does not have is refused, with the nearest that it has.
The press is --press, or the one that ships under the preset's name; where there is
neither, only what no press has is refused.

What is written again replaces what was there, also what a spreadsheet spoilt. Keys
of which nothing is said were not read, and nothing is learned from them; if the
sweep alone is written, all keys stood as preset.`,
		Example: `  bladeline ok job.csv 3=5/8 7=1 sweep=5
  bladeline ok job.csv --press hall.press.toml black:3-5=38 9=40 rest cyan:rest
  bladeline ok job.json -o job-ok.csv rest`,
		Args: from(1, 0, "preset"),
		RunE: func(c *cobra.Command, args []string) error {
			var err error
			if t.Entries, err = okEntries(args[1:]); err != nil {
				return err
			}
			t.File = args[0]
			return writeOK(c, t)
		},
	}
	c.Flags().StringVar(&t.Press, "press", "", "the `PRESS` of the preset: a file, or a name that press list shows")
	c.Flags().StringVarP(&t.Output, "output", "o", "", "write to `FILE`, a .csv, and leave JOB as it is")
	return c
}

func writeOK(c *cobra.Command, t job.OKTicket) error {
	if t.Output != "" && job.FormatOf(t.Output) != "csv" {
		return usagef("-o %s: an OK file is a CSV; use .csv", t.Output)
	}
	written, err := job.WriteOK(t)
	if err != nil {
		return err
	}
	if err := printOK(c.OutOrStdout(), written); err != nil {
		return job.Unwritten("standard output", err)
	}
	return nil
}

// okEntries are what the arguments say was run.
func okEntries(args []string) ([]preset.OKEntry, error) {
	if len(args) == 0 {
		return nil, usagef("nothing says what was run; write it like 3=5/8, sweep=5 or rest")
	}
	var entries []preset.OKEntry
	ink := ""
	for _, arg := range args {
		what, setting, given := strings.Cut(arg, "=")
		if at := strings.LastIndexByte(what, ':'); at >= 0 {
			ink, what = strings.TrimSpace(what[:at]), strings.TrimSpace(what[at+1:])
			if ink == "" {
				return nil, usagef("%s: no ink is named before the colon; write it like Black:3=5/8", arg)
			}
			if what == "" && !given {
				continue // Black: 3=5/8
			}
		}
		entry := preset.OKEntry{Ink: ink, Text: setting}
		switch strings.ToLower(what) {
		case "rest":
			if given {
				return nil, usagef("%s: rest takes no setting: it says that all other keys stood as preset", arg)
			}
			entry.Rest = true
		case "sweep":
			entry.Sweep = true
		default:
			if entry.Zones = zonesNamed(what); entry.Zones == nil {
				return nil, usagef("%s: not a key; write it like 3=5/8, 3-5=1/2, sweep=5 or rest", arg)
			}
		}
		if !entry.Rest && strings.TrimSpace(setting) == "" {
			return nil, usagef("%s: no setting follows; write it like 3=5/8, or 3=- where it was not read", arg)
		}
		entries = append(entries, entry)
	}
	if len(entries) == 0 {
		return nil, usagef("nothing says what was run; write it like 3=5/8, sweep=5 or rest")
	}
	return entries, nil
}

// zonesNamed reads zones like 3, 3-5 or 3,5-7; nil where they are none.
func zonesNamed(text string) []int {
	var zones []int
	for part := range strings.SplitSeq(text, ",") {
		first, last, ranged := strings.Cut(part, "-")
		if !ranged {
			last = first
		}
		from, err := strconv.Atoi(strings.TrimSpace(first))
		to, err2 := strconv.Atoi(strings.TrimSpace(last))
		if err != nil || err2 != nil || from < 1 || to < from || to > press.MaxZones {
			return nil
		}
		for zone := from; zone <= to; zone++ {
			zones = append(zones, zone)
		}
	}
	return zones
}

// printOK says what was written, an ink a table, and what to do with it.
func printOK(w io.Writer, f *job.OKFile) error {
	p := f.Preset
	fmt.Fprintf(w, "job    %s\npress  %s\n", settings.Printable(p.Job), settings.Printable(p.Press.Name))
	for i := range p.Units {
		u := &p.Units[i]
		if err := printOKUnit(w, f, u); err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "\nwrote %s\n", settings.Printable(f.Path))
	if f.Press == nil {
		fmt.Fprintln(w, "the steps of the press were not checked: --press names it")
	}
	return printNext(w, f)
}

// printOKUnit prints what changed of an ink, and how much of it is read.
func printOKUnit(w io.Writer, f *job.OKFile, u *preset.Unit) error {
	unit := f.Preset.Press.KeyUnit
	t := &table{align: "lrrr"}
	t.row("", "preset "+string(unit), "was", "run")
	for _, c := range f.Changes {
		if c.Ink != u.Ink {
			continue
		}
		name, text := fmt.Sprintf("key %d", c.Zone), func(v float64) string { return press.KeyText(unit, v) }
		if c.Zone == 0 {
			name, text = "sweep", settings.Plain
		}
		t.row(name, text(c.Preset), orDash(c.Was, text), orDash(c.Is, text))
	}
	if len(t.rows) == 1 {
		return nil
	}
	fmt.Fprintf(w, "\n%s: sweep %s\n", settings.Printable(u.Ink), settings.Printable(press.Amount(u.SweepRun(), f.Preset.Press.SweepUnit)))
	if err := t.write(w); err != nil {
		return err
	}
	var unread []preset.Key
	read, asPreset := 0, true
	for _, k := range u.Keys {
		asPreset = asPreset && k.OKKey != nil && *k.OKKey == k.Key
		switch {
		case k.OKKey != nil:
			read++
		case k.State != curves.OffSheet:
			unread = append(unread, k)
		}
	}
	if len(unread) == 0 && asPreset {
		_, err := fmt.Fprintln(w, "all keys stood as preset")
		return err
	}
	if len(unread) == 0 {
		return nil
	}
	keys := "keys"
	if read == 1 {
		keys = "key"
	}
	_, zones, _ := strings.Cut(preset.Spans(unread), " ")
	_, err := fmt.Fprintf(w, "%d %s read, not read: %s; if these stood as preset, add %s\n", read, keys, zones, settings.Printable(u.Ink+":rest"))
	return err
}

func orDash(v *float64, text func(float64) string) string {
	if v == nil {
		return "-"
	}
	return text(*v)
}

// printNext says what an OK file is good for.
func printNext(w io.Writer, f *job.OKFile) error {
	for i := range f.Preset.Units {
		u := &f.Preset.Units[i]
		if !f.Preset.HasOKKeys(u.Ink) {
			continue
		}
		called := f.Called
		if called == "" {
			called = "PRESS"
		}
		_, err := fmt.Fprintf(w, "next: bladeline compare %s --press %s\nor, from all OK files in a folder: bladeline curve learn FOLDER --press %s --ink %s -o NEW.curve.toml\n",
			argument(f.Path), argument(called), argument(called), argument(u.Ink))
		return err
	}
	return nil
}

// argument is a text as an argument of a command line.
func argument(s string) string {
	s = settings.Printable(s)
	if strings.ContainsAny(s, " '\"()&;$*?<>|") {
		return strconv.Quote(s)
	}
	return s
}
