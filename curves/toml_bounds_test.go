package curves

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An unknown key is held against those of its own table, a table of tables too.
func TestUnknownKeysOfTables(t *testing.T) {
	var v struct {
		Name string `toml:"name"`
		Inks map[string]struct {
			Film struct {
				Thickness float64 `toml:"thickness"`
			} `toml:"film"`
			Gravity float64 `toml:"gravity"`
		} `toml:"inks"`
	}
	for text, says := range map[string]string{
		"nam = \"\"":                         `did you mean "name"?`,
		"[inks.Black]\ngravty = 1":           `did you mean "gravity"?`,
		"[inks.Black.film]\nthicknes = 1":    `did you mean "thickness"?`,
		"[inks.Black]\nnam = \"\"":           "remove or correct it",
		"[other]\nnam = \"\"":                "remove or correct it",
		"[inks.Black.film]\ngravity = 1":     "remove or correct it",
		"[inks.Black]\nfilm = { thick = 1 }": "remove or correct it",
	} {
		assert.ErrorContains(t, DecodeTOML("p.toml", []byte(text), &v), says, text)
	}
}

// A key is near that differs by two letters, unless these are all it has.
func TestNearKeys(t *testing.T) {
	for _, c := range []struct{ name, known, want string }{
		{"zeros", "zero", "zero"}, {"zer0s", "zero", "zero"}, {"z3r0s", "zero", ""}, {"ab", "to", ""}, {"a", "to", ""}, {"t", "to", "to"}, {"TRAVEL", "travel", "travel"},
	} {
		assert.Equal(t, c.want, nearest(c.name, []string{c.known}), c.name)
	}
	assert.Equal(t, "step", nearest("stap", []string{"step", "stop"}), "of two as near the first")
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"ab", "ba", 2}, {"abc", "abc", 0}, {"xabc", "abc", 1}} {
		assert.Equal(t, c.want, distance(c.a, c.b), "%s, %s", c.a, c.b)
	}
}

// A file of settings goes up to a mebibyte.
func TestLargestSettings(t *testing.T) {
	var v struct{}
	text := strings.Repeat("#\n", 1<<19)
	require.NoError(t, DecodeTOML("p.toml", []byte(text), &v))
	assert.EqualError(t, DecodeTOML("p.toml", []byte(text+"#"), &v), "p.toml: 1048577 bytes are too many for a file of settings; check that this is the file you meant")
}

// Digits are written out where they can be counted.
func TestPlainAtItsBounds(t *testing.T) {
	for v, want := range map[float64]string{1e-12: "0.000000000001", 9.9e-13: "9.9e-13", 999_999_999_999_999: "999999999999999", 1e15: "1e+15", -1e15: "-1e+15", 0.5: "0.5"} {
		assert.Equal(t, want, Plain(v))
	}
}
