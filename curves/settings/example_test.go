package settings_test

import (
	"fmt"

	"bladeline/curves/settings"
)

// A key that the struct does not have is an error that says where.
func ExampleDecode() {
	var press struct {
		Name  string `toml:"name"`
		Zones int    `toml:"zones"`
	}
	err := settings.Decode("hall.press.toml", []byte("name = \"Hall\"\nzone = 21\n"), &press)
	fmt.Println(err)
	// Output:
	// hall.press.toml: line 2, column 1: unknown key "zone"; did you mean "zones"?
}

func ExampleSetValue() {
	file := []byte("name = 'Hall' # of the quay\n\n[fountain]\nzones = 21\n")
	file, err := settings.SetValue("hall.press.toml", file, settings.TOMLString(`Quay "2"`), "name")
	if err == nil {
		file, err = settings.SetValue("hall.press.toml", file, "\"left\"", "fountain", "first_zone")
	}
	fmt.Printf("%s%v", file, err)
	// Output:
	// name = "Quay \"2\"" # of the quay
	//
	// [fountain]
	// first_zone = "left"
	// zones = 21
	// <nil>
}

func ExampleRows() {
	file := []byte("points = [\n  [0, 2], # paper white\n  [100, 80]\n]\n")
	rows, found := settings.FindRows(file, "points")
	if !found {
		fmt.Println("no points")
		return
	}
	fmt.Printf("%s", rows.Insert(1, 50, 47.5))
	// Output:
	// points = [
	//   [0, 2], # paper white
	//   [50, 47.5],
	//   [100, 80]
	// ]
}
