package sheet_test

import (
	"bytes"
	"strings"
	"testing"

	"bladeline/zones/sheet"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A sheet is known by its own mark, and neither a PDF of another producer, nor one
// that names this program as it names itself elsewhere, nor an empty file is one.
func TestIsSheet(t *testing.T) {
	var written bytes.Buffer
	require.NoError(t, sheet.WritePDF(&written, []*sheet.Page{{Title: "Keys", WidthMM: 210, HeightMM: 297}}))
	is := func(text string) bool { return sheet.IsSheet(strings.NewReader(text), int64(len(text))) }
	assert.True(t, is(written.String()))
	other := strings.Replace(written.String(), "\x00b\x00l\x00a\x00d\x00e", "\x00o\x00t\x00h\x00e\x00r", 1)
	require.NotEqual(t, written.String(), other)
	assert.False(t, is(other))
	assert.False(t, is("%PDF-1.4\n1 0 obj\n<< /Producer (bladeline) >>\nendobj\n"))
	assert.False(t, is(""))
}
