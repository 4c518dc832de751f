package main

import (
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// reprintFlags are the flags of reprint alone.
type reprintFlags struct {
	runFlags
	paperFlags
	chargeFlag
	press, from, size string
	curves, sweeps    []string
	copies            int
}

func newReprint() *cobra.Command {
	var (
		in  inputFlags
		out outputFlags
		how reprintFlags
	)
	c := &cobra.Command{
		Use:   "reprint OK.csv --press PRESS",
		Short: "Preset a job again from what was finally run, without its separations",
		Long: `reprint makes a preset, or a key sheet, of an OK file: a preset's CSV in which is
filled in what was finally run. It needs no separations.

On the press that it ran on, the keys and the sweep are those that were run. Keys
that were not read stand as preset, and are warned of.

On another --paper, by the press's curve for it or the --curve that is named, a key
is what that curve asks for the zone's coverage, times what was fed there over what
the preset fed: what the operator knew better then holds on. The sweep stays, unless
--sweep says otherwise.

On another press the same is done with that press's curves, and its sweep is chosen
as preset chooses one. The coverages of the old zones are shared out among the new
ones by the width that lies over each, centre on centre. That is not measured: ink
near a zone's border may land in its neighbour. With the separations, preset does
better. The press that it ran on is --from, or the one that ships under its name.

What was carried over, and how, is said with the sweep, in the output and on the
sheet. Warnings of it have the word "carried" or "travel" in the JSON; under --strict
the exit status is then 3.

` + cautions,
		Example: `  bladeline reprint fair-ok.csv --press hall.press.toml -o fair2.csv -o fair2.pdf
  bladeline reprint fair-ok.csv --press hall.press.toml --curve uncoated -o fair2.csv
  bladeline reprint fair-ok.csv --press two-colour --from hall.press.toml -o fair2.csv`,
		Args: exactly(1, "one OK file"),
		RunE: func(c *cobra.Command, args []string) error { return reprint(c, args[0], &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS` to print on: a file, or a name that press list shows")
	flags.StringVar(&how.from, "from", "", "the `PRESS` that it ran on, where that is another")
	flags.StringArrayVar(&how.curves, "curve", nil, "`[INK=]CURVE` of another paper: a file, or the name of one that ships; may be repeated")
	flags.StringArrayVar(&how.sweeps, "sweep", nil, "`[INK=]SWEEP`: auto, or a setting of the press's own scale; may be repeated")
	wholeVar(flags, &how.copies, "copies", 0, "write on the key sheet how much ink `N` sheets take, as estimate works it out")
	addPageSize(c, &how.size, "the key sheet's page")
	flags.BoolVar(&in.strict, "strict", false, "exit with status 3 if there are warnings")
	how.runFlags.add(c)
	how.paperFlags.add(c)
	how.chargeFlag.add(c)
	out.add(c, ".csv, .json, or .pdf or .svg for the key sheet")
	return c
}

func reprint(c *cobra.Command, path string, in *inputFlags, out *outputFlags, how *reprintFlags) error {
	t, err := how.ticket(c, path, out)
	if err != nil {
		return err
	}
	t.Outputs = out.presets()
	p, err := t.Reprint(c.Context())
	if err != nil {
		return flagged(err, map[string][]string{job.OfCurve: how.curves, job.OfSweep: how.sweeps})
	}
	if err := out.printPreset(c, p); err != nil {
		return err
	}
	return in.warn(c, p.Warnings)
}

// ticket is what the flags ask for; outputs it has none yet.
func (how *reprintFlags) ticket(c *cobra.Command, path string, out *outputFlags) (job.ReprintTicket, error) {
	t := job.ReprintTicket{OKFile: path, Rest: how.rest, Press: how.press, From: how.from, Charge: how.asked(c), Page: sheet.PageSize(how.size), Copies: how.copies, Cure: cureWarnings}
	if how.press == "" {
		return t, pressMissing()
	}
	if err := out.check(job.PresetFormats, []string{path}); err != nil {
		return t, err
	}
	if err := checkPageSize(how.size); err != nil {
		return t, err
	}
	if err := checkCopies(c, how.copies); err != nil {
		return t, err
	}
	var err error
	if t.Run, err = how.run(c); err != nil {
		return t, err
	}
	if t.Curves, err = perInk("--curve", how.curves, asItIs); err != nil {
		return t, err
	}
	t.Sweeps, err = perInk("--sweep", how.sweeps, parseSweep)
	return t, err
}
