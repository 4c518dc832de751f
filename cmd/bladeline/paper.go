package main

import (
	"slices"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// paperFlags are the flags of commands that make a preset: for which run.
type paperFlags struct {
	paper, date string
	length      int64 // wider than int may be, which would wrap
}

// paperUsage says what --paper is, wherever it is.
const paperUsage = "the `STOCK` that is printed on, as the shop calls it"

func (f *paperFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.paper, "paper", "", paperUsage)
	c.Flags().Int64Var(&f.length, "run", 0, "the run is `N` sheets long")
	c.Flags().StringVar(&f.date, "date", "", "`DAY` of the preset, as 2026-11-26; none leaves it out; the default is today")
}

// run is what the flags say of the run.
func (f *paperFlags) run(c *cobra.Command) (preset.Run, error) {
	r := preset.Run{Paper: f.paper, Date: f.date}
	if err := checkStock(c, f.paper); err != nil {
		return r, err
	}
	if c.Flags().Changed("run") && !(f.length >= 1 && f.length <= preset.MaxRun) {
		return r, usagef("--run %d: not a number of sheets; give 1 to %d", f.length, preset.MaxRun)
	}
	r.Length = int(f.length)
	switch {
	case f.date == "none":
		r.Date = ""
	case c.Flags().Changed("date") && !preset.IsDate(f.date):
		return r, usagef("--date %s: not a day; give one like 2026-11-26, or none", f.date)
	case f.date == "":
		var err error
		if r.Date, err = job.Today(); err != nil {
			return r, usageError{err}
		}
	}
	return r, nil
}

// checkStock refuses as the stock what is none: nothing, and sizes of a page, which
// --paper once was.
func checkStock(c *cobra.Command, paper string) error {
	switch {
	case !c.Flags().Changed("paper"):
		return nil
	case job.IsPageSize(paper):
		return usagef("--paper %s: is a size, and --paper is the stock; for the key sheet's page give --page-size a4 or letter", paper)
	case !settings.IsName(paper):
		return usagef("--paper %s: not the name of a stock; give one on a single line", settings.Quoted(paper))
	}
	return nil
}

var pageSizes = []string{string(sheet.A4), string(sheet.Letter)}

// addPageSize adds the flag that says how large the pages of something are.
func addPageSize(c *cobra.Command, size *string, of string) {
	c.Flags().StringVar(size, "page-size", string(sheet.A4), "`SIZE` of "+of+": a4 or letter")
}

func checkPageSize(size string) error {
	if !slices.Contains(pageSizes, size) {
		return usagef("--page-size %s: not known; give a4 or letter", size)
	}
	return nil
}

// pageFlags are the flags of commands that draw what presets state already. --paper
// is there to be refused with what to do instead.
type pageFlags struct{ size, stock string }

func (f *pageFlags) add(c *cobra.Command, of string) {
	addPageSize(c, &f.size, of)
	c.Flags().StringVar(&f.stock, "paper", "", paperUsage)
	c.Flags().MarkHidden("paper")
}

func (f *pageFlags) check(c *cobra.Command) error {
	if err := checkStock(c, f.stock); err != nil {
		return err
	}
	if c.Flags().Changed("paper") {
		return usagef("--paper %s: the stock is the preset's; leave it out, or run preset with it", f.stock)
	}
	return checkPageSize(f.size)
}
