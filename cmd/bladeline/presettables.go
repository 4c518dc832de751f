package main

import (
	"context"
	"errors"
	"fmt"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones/preset"

	"github.com/spf13/cobra"
)

// made works the preset out, of separations or of tables.
func (how *presetFlags) made(c *cobra.Command, t job.Ticket) (p *preset.Preset, err error) {
	if len(how.tables) > 0 {
		tables, err := perInk("--coverage", how.tables, asItIs)
		if err != nil {
			return nil, err
		}
		return t.RunTables(c.Context(), tables)
	}
	err = watched(c, "reading", t.Reading, func(ctx context.Context, r job.Reading) error {
		t.Reading = r
		p, err = job.Run(ctx, t)
		return err
	})
	return p, err
}

// arguments takes separations or, in their place, tables.
func (how *presetFlags) arguments(c *cobra.Command, args []string) error {
	switch given := c.Flags().Changed; {
	case given("out") && how.out == "":
		return errors.New("--out: the name of the folder is empty; give one")
	case given("as") && !given("out"):
		return fmt.Errorf("--as %s: says nothing without --out; add it", how.as)
	case given("names") && !given("out"):
		return fmt.Errorf("--names %s: says nothing without --out; add it", how.names[0])
	}
	if len(how.tables) == 0 {
		return files(c, args)
	}
	if len(args) > 0 {
		return fmt.Errorf("%s: a separation beside --coverage; give one or the other", args[0])
	}
	for _, name := range []string{"lead-edge", "mirrored", "shift", "dpi", "ink-is", "at", "repeat", "sheet", "take-off", "pages", "timeout", "out"} {
		if c.Flags().Changed(name) {
			return fmt.Errorf("--%s: is of a separation, and --coverage takes the place of one; leave it out", name)
		}
	}
	return nil
}
