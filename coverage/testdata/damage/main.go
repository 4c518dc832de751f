// Damage tells how much damage to TIFF files bladeline does not see, compression
// by compression, as the table that stands in testdata/README.md:
//
//	go run ./coverage/testdata/damage
package main

import (
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"regexp"

	"bladeline/coverage/testdata/damage/unseen"
)

func main() {
	flips := flag.Int("flips", 1200, "how many bits are flipped, one at a time, of each kind of file")
	only := flag.String("only", "", "only kinds whose name this regular expression finds")
	keep := flag.String("keep", "", "a folder for the files with a flipped bit that gave a number, so that other programs can be asked")
	flag.Parse()
	log.SetFlags(0)
	chosen, err := regexp.Compile(*only)
	if err != nil {
		log.Fatalf("damage: -only: %v", err)
	}
	fmt.Println("| | flipped bits | width | height | rows a strip | byte counts |")
	fmt.Println("|---|--:|--:|--:|--:|--:|")
	for _, kind := range unseen.Kinds() {
		if chosen.MatchString(kind.Name) {
			f := kind.Tags()
			fmt.Printf("| %s | %.1f %% | %s | %s | %s | %s |\n", kind.Name, kind.Flips(*flips, into(*keep)).Pct(), f.Width, f.Height, f.Rows, f.Counts)
		}
	}
}

// into writes files into a folder, numbered; they go nowhere where it has no
// name.
func into(folder string) func(file []byte) {
	number := 0
	return func(file []byte) {
		if folder == "" {
			return
		}
		number++
		if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%04d.tif", number)), file, 0o644); err != nil {
			log.Fatalf("damage: %v", err)
		}
	}
}
