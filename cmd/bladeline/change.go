package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// changeFlags are the flags of change alone.
type changeFlags struct {
	runFlags
	pageFlags
	press   string
	follows []string
}

func newChange() *cobra.Command {
	var (
		out outputFlags
		how changeFlags
	)
	c := &cobra.Command{
		Use:   "change [LAST] THIS",
		Short: "Say which keys to move, and how far, from the last job to this one",
		Long: `change says for every printing unit which keys to turn, which way and how far, to
go from where the last job left them to where this one has them. Keys that stay
are counted only.

LAST and THIS are presets, JSON or CSV, of one press. Where one is an OK file, a
preset's CSV with ok_key and ok_sweep filled in, the keys are taken as they were
finally run. Both are settings on the press's own scale, so that a zero that was
learned in between moves no key.

What stands in a fountain is a matter of the printing unit, whatever the ink is
called: an ink of THIS starts from what ran last in the unit that both jobs name.
Where they name none, it starts from where the same ink stands, and what is then
left follows one after the other, as the jobs list them. Give --follows if an ink
runs elsewhere. Where another ink stands, wash up first.

A job of several passes is gone through pass by pass. THIS alone gives what is
done between its own passes.

The keys come from the centre outwards. On a blade of one piece every key also
moves the blade beside it: set from the centre outwards, none has to be set
twice in one round. Where the press is known, by --press or because it ships, change also says
where such a blade would be bent too steeply on the way, and in how many rounds to go,
of whole steps of the keys.

-o job.pdf or .svg draws the sheet to take to the press, a page a unit.

` + cautions,
		Example: `  bladeline change regatta-ok.csv fair.json
  bladeline change regatta-ok.csv fair.json --press my.press.toml -o change.pdf
  bladeline change last.csv this.csv --follows "Harbour Red=Magenta"
  bladeline change fair.json`,
		Args: from(1, 2, "job"),
		RunE: func(c *cobra.Command, args []string) error { return change(c, args, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS` of both: a file, or a name that press list shows")
	flags.StringArrayVar(&how.follows, "follows", nil, "`INK=LAST`, an ink of this job and that of the last where it is to run; may be repeated")
	how.pageFlags.add(c, "the changeover sheet's page")
	how.runFlags.add(c)
	out.add(c, ".csv, .json, .pdf or .svg")
	return c
}

func change(c *cobra.Command, args []string, out *outputFlags, how *changeFlags) error {
	if err := out.check([]string{"csv", "json", "pdf", "svg"}, args); err != nil {
		return err
	}
	if err := how.pageFlags.check(c); err != nil {
		return err
	}
	result, err := how.changeOver(args)
	if err != nil {
		return err
	}
	return out.writeSheets(c, map[string]format{
		"table": func(w io.Writer) error { return writeChange(w, result) },
		"csv":   result.WriteCSV,
		"json":  result.WriteJSON,
	}, func(path string) ([]job.File, error) {
		return changeSheets(path, result, sheet.ChangeOptions{PageSize: sheet.PageSize(how.size)})
	})
}

// changeSheets are the files that a change-over is drawn to.
func changeSheets(path string, c *preset.ChangeOver, o sheet.ChangeOptions) ([]job.File, error) {
	pages, err := sheet.ChangePages(c, o)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", c.This, err)
	}
	return job.PageFiles(path, c.Inks(), pages), nil
}

// changeOver works out what is asked for; args are one job or two.
func (how *changeFlags) changeOver(args []string) (*preset.ChangeOver, error) {
	asked := job.Change{This: args[len(args)-1], Press: how.press, Rest: how.rest}
	if len(args) > 1 {
		asked.Last = args[0]
	}
	var err error
	if asked.Follows, err = how.inksThatFollow(len(args)); err != nil {
		return nil, err
	}
	result, err := job.ChangeOver(asked)
	if err != nil {
		return nil, flagged(err, map[string][]string{job.OfFollows: how.follows})
	}
	return result, nil
}

// inksThatFollow reads --follows.
func (how *changeFlags) inksThatFollow(jobs int) ([]job.Choice[string], error) {
	if len(how.follows) > 0 && jobs == 1 {
		return nil, usagef("--follows %s: one job alone follows none; name the last job first, or leave the flag out", how.follows[0])
	}
	for _, given := range how.follows {
		if !strings.Contains(given, "=") {
			return nil, usagef("--follows %s: no equals sign; write INK=LAST, the ink of this job and the one that stands where it goes", given)
		}
	}
	return perInk("--follows", how.follows, asItIs)
}

// writeChange prints a table a unit, pass by pass, and how to go about it.
func writeChange(w io.Writer, c *preset.ChangeOver) error {
	fmt.Fprintf(w, "press  %s\n", settings.Printable(c.Press.Name))
	if c.LastJob != nil {
		fmt.Fprintf(w, "last   %s\n", jobAsRun(*c.LastJob, c.LastWasRun))
	}
	fmt.Fprintf(w, "this   %s\n", jobAsRun(c.ThisJob, c.ThisWasRun))
	washUp, inRounds, moves := false, false, false
	for i := range c.Steps {
		s := &c.Steps[i]
		if s.Pass != nil {
			fmt.Fprintf(w, "\npass %d\n", *s.Pass)
		}
		for j := range s.Units {
			washUp = washUp || s.Units[j].WashUp
			inRounds = inRounds || s.Units[j].InRounds()
			moves = moves || s.Units[j].Moved > 0
			if err := writeUnitChange(w, c, &s.Units[j]); err != nil {
				return err
			}
		}
		for _, u := range s.Idle {
			fmt.Fprintf(w, "\n%s: does not run; its keys stay\n", unitAndInk(u.Unit, u.Ink))
		}
	}
	order := ""
	if moves {
		order = c.OrderWords(inRounds)
	}
	return writeHow(w, order, washUp)
}

func jobAsRun(name string, run bool) string {
	if name == "" {
		name = "no name of a job"
	}
	if run {
		name += ", as it was run"
	}
	return settings.Printable(name)
}

// writeHow says how to go about it; order is empty where no key moves.
func writeHow(w io.Writer, order string, washUp bool) error {
	fmt.Fprintln(w)
	words := []string{keyCaution}
	if washUp {
		words = slices.Insert(words, 0, preset.WashUpCaution)
	}
	if order != "" {
		words = slices.Insert(words, 0, sentence(order))
	}
	for _, s := range words {
		if _, err := fmt.Fprintln(w, folded(s)); err != nil {
			return err
		}
	}
	return nil
}

// folded breaks a text between words, so that lines are read on any terminal.
func folded(s string) string {
	const most = 80
	var b strings.Builder
	line := 0
	for word := range strings.FieldsSeq(s) {
		n := utf8.RuneCountInString(word)
		switch {
		case line == 0:
		case line+1+n > most:
			b.WriteByte('\n')
			line = 0
		default:
			b.WriteByte(' ')
			line++
		}
		b.WriteString(word)
		line += n
	}
	return b.String()
}

func unitAndInk(unit *string, ink string) string {
	if unit == nil {
		return settings.Printable(ink)
	}
	return settings.Printable(fmt.Sprintf("unit %s, %s", *unit, ink))
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

func writeUnitChange(w io.Writer, c *preset.ChangeOver, u *preset.UnitChange) error {
	fmt.Fprintf(w, "\n%s: %s; %s\n", unitAndInk(u.Unit, u.Ink), settings.Printable(u.SweepWords(c.Press.SweepUnit)), u.CountWords())
	for _, note := range []string{whereFrom(u), u.WashUpWords(), u.NotReadWords(), u.RoundsWords()} {
		if note != "" {
			fmt.Fprintln(w, folded(settings.Printable(note)))
		}
	}
	if u.Moved == 0 {
		return nil
	}
	t := &table{align: "rrrl"}
	unit := string(c.Press.KeyUnit)
	t.row("zone", "now "+unit, "to "+unit, "")
	for _, k := range u.InOrder() {
		t.row(fmt.Sprint(k.Zone), orEmpty(k.KeyWasText), k.KeyText, k.Words())
	}
	return t.write(w)
}

// whereFrom says what a unit's keys were taken to be, where that is not plain.
func whereFrom(u *preset.UnitChange) string {
	switch {
	case u.MatchedBy == nil:
		return "nothing is known of what stands in it: set every key by its figure"
	case *u.MatchedBy == preset.MatchedByOrder:
		return fmt.Sprintf("taken to run where %s ran, by the order of the two jobs; give --follows if it runs elsewhere", *u.InkWas)
	}
	return ""
}

const keyCaution = "Before touching keys, stop the press and make it safe as its manual and local rules say."
