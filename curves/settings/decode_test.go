package settings

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hall is a struct with tables in tables.
type hall struct {
	Name     string `toml:"name"`
	Id       int    `toml:"id"`
	Fountain struct {
		Zones int     `toml:"zones"`
		Width float64 `toml:"zone_width_mm"`
		Blade struct {
			Limit float64 `toml:"neighbour_limit"`
		} `toml:"blade"`
	} `toml:"fountain"`
	Inks map[string]struct {
		Density float64 `toml:"target_density"`
		Film    struct {
			Thickness float64 `toml:"thickness"`
		} `toml:"film"`
	} `toml:"inks"`
	Units []struct {
		Zero []float64 `toml:"zero"`
	} `toml:"units"`
}

func TestDecode(t *testing.T) {
	var h hall
	require.NoError(t, Decode("h.toml", []byte("\ufeffname = \"Quay\"\n[fountain]\nzones = 6\n[inks.Black]\ntarget_density = 1.6\n"), &h))
	assert.Equal(t, "Quay", h.Name)
	assert.Equal(t, 6, h.Fountain.Zones)
	assert.Equal(t, 1.6, h.Inks["Black"].Density)
}

// What was meant is guessed from the keys of the same table, by up to two
// letters.
func TestDecodeRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"nmae = 1":                           `line 1, column 1: unknown key "nmae"; did you mean "name"?`,
		"names = 1":                          `line 1, column 1: unknown key "names"; did you mean "name"?`,
		"nam = 1":                            `line 1, column 1: unknown key "nam"; did you mean "name"?`,
		"namely = 1":                         `line 1, column 1: unknown key "namely"; did you mean "name"?`,
		"namesake = 1":                       `line 1, column 1: unknown key "namesake"; remove or correct it`,
		"xy = 1":                             `line 1, column 1: unknown key "xy"; remove or correct it`,
		"zones = 1":                          `line 1, column 1: unknown key "zones"; remove or correct it`,
		"[fountain]\nzone = 1":               `line 2, column 1: unknown key "fountain.zone"; did you mean "zones"?`,
		"[fountain]\nname = 1":               `line 2, column 1: unknown key "fountain.name"; remove or correct it`,
		"[fountain.blade]\nneighbor_limit=1": `line 2, column 1: unknown key "fountain.blade.neighbor_limit"; did you mean "neighbour_limit"?`,
		"[inks.Black]\ntarget_densty = 1":    `line 2, column 1: unknown key "inks.Black.target_densty"; did you mean "target_density"?`,
		"[inks.Black.more]\nx = 1":           `line 1, column 2: unknown key "inks.Black.more"; remove or correct it`,
		"[inks.Black]\nnam = 1":              `line 2, column 1: unknown key "inks.Black.nam"; remove or correct it`,
		"[inks.Black.film]\nthicknes = 1":    `line 2, column 1: unknown key "inks.Black.film.thicknes"; did you mean "thickness"?`,
		"[inks.Black.film]\nlimit = 1":       `line 2, column 1: unknown key "inks.Black.film.limit"; remove or correct it`,
		"[[units]]\n[[units]]\nzeros = []":   `line 3, column 1: unknown key "units.zeros"; did you mean "zero"?`,
		"[other]\nnam = 1":                   `line 1, column 2: unknown key "other"; remove or correct it`,
		"[fountian]\nzones = 1":              `line 1, column 2: unknown key "fountian"; did you mean "fountain"?`,
		"name = 3":                           `line 1, column 8: name cannot be an integer; correct this line`,
		"id = \"a\"":                         `line 1, column 6: id cannot be a string; correct this line`,
		"[fountain]\nzones = 1.5":            `line 2, column 9: fountain.zones is a whole number; write it without a fraction`,
		"name = \"a":                         `line 1, column 9: unterminated basic string; correct this line`,
		strings.Repeat("#", maxTOML+1):       "more than 1 MiB is too much for a file of settings; check that this is the file you meant",
	} {
		var h hall
		err := Decode("h.toml", []byte(text), &h)
		var e *FileError
		require.ErrorAs(t, err, &e, text)
		assert.True(t, strings.HasPrefix(err.Error(), "h.toml: "+want), "%s\n%s", want, err)
	}
	var h hall
	assert.ErrorContains(t, Decode("h.toml", []byte("[inks.Black]\nfilm = { thick = 1 }"), &h), "remove or correct it", "an inline table")
	assert.NoError(t, Decode("h.toml", []byte(strings.Repeat("#", maxTOML)), &h))
	assert.Equal(t, 1048576, maxTOML)
	assert.Error(t, Decode("h.toml", nil, hall{}), "no pointer")
}

// A key is near that differs by two letters, unless these are all it has.
func TestNearKeys(t *testing.T) {
	for _, c := range []struct{ name, known, want string }{
		{"z3r0s", "zero", ""}, {"a", "to", ""}, {"t", "to", "to"}, {"TRAVEL", "travel", "travel"},
	} {
		assert.Equal(t, c.want, Nearest(c.name, []string{c.known}), c.name)
	}
	assert.Equal(t, "step", Nearest("stap", []string{"step", "stop"}), "of two as near the first")
}

// What is no text is said to be none, and where, whatever the parser would make of it.
func TestDecodeRefusesWhatIsNoText(t *testing.T) {
	var h hall
	err := Decode("h.toml", []byte("# a hall\nname = \"\xff\xfe\""), &h)
	assert.EqualError(t, err, "h.toml: line 2, column 9: this is no text in UTF-8; check that this is the file you meant, and save it as text in UTF-8")
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"ab", "ba", 2}, {"abc", "abc", 0}, {"xabc", "abc", 1}} {
		assert.Equal(t, c.want, distance(c.a, c.b), "%s, %s", c.a, c.b)
	}
}
