package main

import (
	"fmt"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newPressNew() *cobra.Command {
	var (
		from, out string
		zoneCount int
		widthMM   float64
		firstZone string
	)
	c := &cobra.Command{
		Use:   "new NAME -o FILE.press.toml",
		Short: "Start the description of your own press from one that ships",
		Long: `new writes a press file, with comments that say what every line means, and
beside it the curve it starts from, unless that exists. Comments that speak of
the old press and of values that are no longer there go. Measure the key spacing
with a rule and read the scales on the press, then edit the file. Name the
press's units under [[units]], each with its inks, or take them out where it has one.
The id in the file stays when you rename the press, so that its OK files follow it.
A roller train that was fitted was fitted to another machine: its numbers come along
as a guess, and the new file does not call them fitted.`,
		Example: `  bladeline press new "Hall press" --from four-colour --zones 28 --zone-width 32 -o hall.press.toml`,
		Args:    exactly(1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return usagef("-o is missing; name the press file to write")
			}
			n := job.NewPress{Name: args[0], From: from, Path: out}
			if c.Flags().Changed("zones") {
				n.Zones = &zoneCount
			}
			if c.Flags().Changed("zone-width") {
				n.ZoneWidthMM = &widthMM
			}
			if c.Flags().Changed("first-zone") {
				n.FirstZone = (*press.End)(&firstZone)
			}
			paths, guessedFrom, err := n.Write()
			if err != nil {
				return err
			}
			if guessedFrom != "" {
				say(c, fmt.Sprintf("warning: %s: the train's film_full_um and strip_mm were fitted to %s and are a guess on this press: results are a trend until press fit finds its own", settings.Printable(out), settings.Quoted(guessedFrom)))
			}
			return wrote(c, paths...)
		},
	}
	c.Flags().StringVar(&from, "from", "two-colour", "the `PRESS` to start from: a file, or a name that press list shows")
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write")
	wholeVar(c.Flags(), &zoneCount, "zones", 0, "`N` keys across the fountain")
	decimalVar(c.Flags(), &widthMM, "zone-width", 0, "the distance in `MM` from key to key")
	c.Flags().StringVar(&firstZone, "first-zone", "", "`SIDE` of a pulled sheet where key 1 is, gripper edge (lead edge) nearest you: left or right")
	return c
}
