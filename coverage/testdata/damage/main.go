// Damage tells how much damage to TIFF files bladeline does not see, compression
// by compression, as the table that stands in testdata/README.md:
//
//	go run ./coverage/testdata/damage
package main

import (
	"flag"
	"fmt"

	"bladeline/coverage/testdata/damage/unseen"
)

func main() {
	flips := flag.Int("flips", 1200, "how many bits are flipped, one at a time, of each kind of file")
	flag.Parse()
	fmt.Println("| | flipped bits | width | height | rows a strip | byte counts |")
	fmt.Println("|---|--:|--:|--:|--:|--:|")
	for _, kind := range unseen.Kinds() {
		f := kind.Tags()
		fmt.Printf("| %s | %.1f %% | %s | %s | %s | %s |\n", kind.Name, kind.Flips(*flips).Pct(), f.Width, f.Height, f.Rows, f.Counts)
	}
}
