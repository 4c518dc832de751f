package main

import (
	"github.com/spf13/cobra"
)

// runFlags are the flags of commands that read what was run.
type runFlags struct {
	rest bool
}

func (f *runFlags) add(c *cobra.Command) {
	c.Flags().BoolVar(&f.rest, "rest-as-preset", false, "keys whose ok_key is empty ran as preset, in files that say what was run; as if their cells said \"rest as preset\"")
}
