package curves

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestLongTexts: of what a file says a message shows no more than a line's worth,
// and still where it stands and what to do.
func TestLongTexts(t *testing.T) {
	long := strings.Repeat("x", 400_000)
	for what, data := range map[string]string{
		"key":          coated + long + " = 1\n",
		"path":         coated + strings.Repeat("x.", 200_000) + "x = 1\n",
		"key in table": coated + "[learned]\n" + long + " = 1\n",
		"table":        coated + "[" + long + "]\nx = 1\n",
		"key twice":    coated + long + " = 1\n" + long + " = 1\n",
		"name":         strings.Replace(coated, "Coated", long+`\u0001`, 1),
		"shape":        strings.Replace(coated, "smooth", long, 1),
		"value":        strings.Replace(coated, "45", `"`+long+`"`, 1),
		"bad value":    strings.Replace(coated, "45", long, 1),
	} {
		_, err := ParseCurve("c.toml", []byte(data))
		if assert.Error(t, err, what) {
			assert.Less(t, len(err.Error()), 500, what)
			assert.Regexp(t, `^c\.toml: .+; [^;]+$`, err.Error(), what)
		}
	}
}

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
