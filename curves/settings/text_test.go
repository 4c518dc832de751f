package settings

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
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
