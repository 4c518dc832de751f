package job

import (
	"bytes"
	"testing"

	"bladeline/curves/learn"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestZerosInAnInlineTable writes zeros between the braces of a press whose keys
// stand in an inline table. Of 200 steps, 1.5 % of travel are 3.
func TestZerosInAnInlineTable(t *testing.T) {
	const before = `name = "Quay"
fountain = { zones = 2, zone_width_mm = 50, first_zone = "right", blade = "segmented" }
keys = { unit = "%", travel = 200, step = 1 } # counted in May
sweep = { unit = "%", from = 10, to = 90, step = 1, reference = 45 }
`
	on, err := press.Parse("quay.press.toml", []byte(before))
	require.NoError(t, err)
	l := Lesson{Press: on, PressFile: Settings{Name: "quay.press.toml", Data: []byte(before)}}
	file, err := l.PressWith([]learn.Offset{{Zone: 2, ShiftPct: 1.5, Readings: 3}})
	require.NoError(t, err)
	var after bytes.Buffer
	require.NoError(t, file.Write(&after))
	assert.Contains(t, after.String(), "\nkeys = { unit = \"%\", travel = 200, step = 1, zero_by_hand = [0, 0], zero = [0, 3] } # counted in May\n")
	assert.Len(t, after.String(), len(before)+len(", zero_by_hand = [0, 0], zero = [0, 3]"))
}
