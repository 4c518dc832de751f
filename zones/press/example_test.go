package press_test

import (
	"fmt"
	"log"
	"os"

	"bladeline/zones/press"
)

// A press is read from its file; a key is set on the press's own scale.
func Example() {
	const file = "../../examples/duplicator.press.toml"
	data, err := os.ReadFile(file)
	if err != nil {
		log.Fatal(err)
	}
	on, err := press.Parse(file, data)
	if err != nil {
		log.Fatal(err)
	}
	key := on.Keys.Key(7, 45) // of zone 7, 45 % open
	fmt.Printf("%s, %d zones: %s turns\n", on.Name, on.Fountain.Zones, on.Keys.Text(key))
	// Output: Duplicator 11-inch, 15 zones: 1 3/8 turns
}

// A press that is made by hand is held to the rules of a file.
func ExamplePress_Validate() {
	fmt.Println((&press.Press{Name: "Hall press"}).Validate())
	// Output: fountain.zone_width_mm: 0 is outside 1 to 1000; correct it
}
