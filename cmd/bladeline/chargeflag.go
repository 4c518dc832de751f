package main

import "github.com/spf13/cobra"

// chargeFlag is the flag of commands whose presets may say how the rollers are best
// inked before the run.
type chargeFlag struct{ charge bool }

func (f *chargeFlag) add(c *cobra.Command) {
	c.Flags().BoolVar(&f.charge, "charge", true, "on a press with a train, say how the rollers are best inked before the run, as rehearse does; about half a second an ink")
}

// asked is what the flag says; nil: nothing was said.
func (f *chargeFlag) asked(c *cobra.Command) *bool {
	if !c.Flags().Changed("charge") {
		return nil
	}
	return &f.charge
}
