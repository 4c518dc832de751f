package preset_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"strings"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

const folder = "../../examples/"

func read(name string) []byte {
	data, err := os.ReadFile(folder + name)
	if err != nil {
		log.Fatal(err)
	}
	return data
}

// A plate is measured, laid on a press and preset; the preset is written as CSV.
func Example() {
	plates, err := coverage.MeasureFiles(context.Background(), []coverage.Input{{Path: folder + "harbour-fair_C.tif"}}, coverage.Options{})
	if err != nil {
		log.Fatal(err)
	}
	on, err := press.Parse("two-colour", read("two-colour.press.toml"))
	if err != nil {
		log.Fatal(err)
	}
	curve, err := curves.ParseCurve("coated", read("coated.curve.toml"))
	if err != nil {
		log.Fatal(err)
	}
	var units []preset.UnitInput
	for _, plate := range plates {
		form, err := zones.Lay(plate, on, zones.Placement{LeadEdge: zones.Bottom})
		if err != nil {
			log.Fatal(err)
		}
		units = append(units, preset.UnitInput{Form: form, Curve: curve})
	}
	p, err := preset.New("harbour-fair", on, units, preset.ByKeys)
	if err != nil {
		log.Fatal(err)
	}
	var csv strings.Builder
	if err := p.WriteCSV(&csv); err != nil {
		log.Fatal(err)
	}
	row := strings.Split(csv.String(), "\r\n")[11]
	fmt.Printf("sweep %s; zone 11: %s\n", press.Amount(p.Units[0].Sweep, on.Sweep.Unit), strings.Join(strings.Split(row, ",")[8:12], " "))
	// Output: sweep 45 %; zone 11: 3 3 % set
}
