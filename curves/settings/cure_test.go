package settings

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What people write where TOML wants a number, a list or a text is answered with
// what to write.
func TestValuesThatTOMLDoesNotTake(t *testing.T) {
	var file struct {
		Width float64   `toml:"width"`
		Zones *int      `toml:"zones"`
		Zero  []float64 `toml:"zero"`
		Side  string    `toml:"side"`
	}
	for text, want := range map[string]string{
		"width = 36,5 # mm":   "t.toml: line 2, column 11: 36,5 is no value that can be read; write numbers with a point: 36.5",
		"width = \"36,5\"":    "t.toml: line 2, column 9: \"36,5\" is no value that can be read; write numbers with a point: 36.5",
		"zones = 21,5 # keys": "t.toml: line 2, column 11: 21,5 is no value that can be read; write numbers with a point: 21.5; zones is a whole number",
		"width = 1/8":         "t.toml: line 2, column 10: 1/8 is no value that can be read; write 0.125",
		"width = 1 3/8":       "t.toml: line 2, column 11: 1 3/8 is no value that can be read; write 1.375",
		"width = .5":          "t.toml: line 2, column 9: .5 is no value that can be read; write 0.5",
		"width = 36 mm":       "t.toml: line 2, column 12: 36 mm is no value that can be read; write 36",
		"zero = 0":            "t.toml: line 2, column 8: 0 is a single number, and a list belongs here; write a list, as [0, …]",
		"zero = [1/4, 1 1/2]": "t.toml: line 2, column 10: [1/4, 1 1/2] is no value that can be read; write [0.25, 1.5]",
		"side = left":         "t.toml: line 2, column 8: left is no value that can be read; write \"left\"",
		"width = 1/0":         "t.toml: line 2, column 10: expected newline but got U+002F '/'; correct this line",
		"width = true":        "t.toml: line 2, column 9: width cannot be a boolean; correct this line",
		"width = 1 2":         "t.toml: line 2, column 11: expected newline but got U+0032 '2'; correct this line",
	} {
		err := Decode("t.toml", []byte("# first\n"+text+"\n"), &file)
		assert.EqualError(t, err, want, text)
	}
}

func TestPointed(t *testing.T) {
	for text, want := range map[string]string{
		"3,5": "3.5", "-3,25": "-3.25", "0,125": "0.125", "+0,5": "+0.5", "1,0000": "1.0000",
		"1,000": "1,000", "12,500": "12,500", "1,5,5": "1,5,5", "3.5": "3.5", ",5": ",5", "auto": "auto", "1.000,5": "1.000,5",
	} {
		assert.Equal(t, want, Pointed(text))
	}
}
