package settings

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestQuoted(t *testing.T) {
	for text, want := range map[string]string{
		"Harbour Red": `"Harbour Red"`, "a\nb": `"a\nb"`,
		strings.Repeat("é", 40): `"` + strings.Repeat("é", 40) + `"`, strings.Repeat("é", 41): `"` + strings.Repeat("é", 40) + `…"`,
	} {
		assert.Equal(t, want, Quoted(text))
	}
}

func TestOneLine(t *testing.T) {
	assert.Equal(t, "a b  [31m c\u2028", OneLine("a\nb\r\x1b[31m\u009bc\u2028"))
}

func TestPrintable(t *testing.T) {
	assert.Equal(t, "a b  [31m c d é\u00a0", Printable("a\nb\r\x1b[31m\u202ec\u2028d é\u00a0"))
}

// What a basic string must escape: TOML 1.0, section String.
func TestTOMLStringIsReadBack(t *testing.T) {
	for text, want := range map[string]string{
		`Hall "2"`: `"Hall \"2\""`, `a\b`: `"a\\b"`, "\a\v\x7f\u0085": `"\u0007\u000B\u007F\u0085"`, "ä\u200b’": "\"ä\u200b’\"",
	} {
		assert.Equal(t, want, TOMLString(text))
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		var file struct {
			Name string `toml:"name"`
		}
		require.NoError(t, Decode("t.toml", []byte("name = "+TOMLString(text)), &file))
		require.Equal(t, text, file.Name)
	})
	var file struct {
		Name string `toml:"name"`
	}
	assert.ErrorContains(t, Decode("t.toml", []byte("name = "+TOMLString("a\xff")), &file), "t.toml: line 1, column 10: ")
}

func TestIsNameAndIsLine(t *testing.T) {
	for text, want := range map[string]bool{"Quay": true, " Quay 2 ": true, "": false, " \u00a0": false, "Quay\n2": false, "Quay\x7f": false, "Quay\xff": false} {
		assert.Equal(t, want, IsName(text), "%q", text)
	}
	for text, want := range map[string]bool{"Quay": true, "": true, " ": true, "Quay\t2": false, "\xff": false} {
		assert.Equal(t, want, IsLine(text), "%q", text)
	}
}
