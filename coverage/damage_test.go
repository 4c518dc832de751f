package coverage_test

import (
	"strings"
	"testing"

	"bladeline/coverage/testdata/damage/unseen"

	"github.com/stretchr/testify/require"
)

// TestUnseenDamage holds a short run of what makes the table in testdata's
// README against it: shares of flipped bits may be worse by what so few of them
// leave to chance, sizes that are wrong by one may not.
func TestUnseenDamage(t *testing.T) {
	const flips, chance = 150, 12 // three standard deviations of a share of a half, in %
	most := map[string]float64{
		"Group 4": 20, "Group 4 without end marks": 17, "Group 3": 1, "Group 3 in two dimensions": 15, "modified Huffman": 1,
		"LZW, 1 bit": 44, "LZW, 8 bits": 71, "Deflate, 1 bit": 0, "Deflate, 8 bits": 0,
		"PackBits, 1 bit": 79, "PackBits, 8 bits": 97, "uncompressed, 1 bit": 100, "uncompressed, 8 bits": 100, "JPEG": 52, "JPEG of four inks": 68,
	}
	for _, kind := range unseen.Kinds() {
		require.Contains(t, most, kind.Name)
		require.LessOrEqual(t, kind.Flips(flips, func([]byte) {}).Pct(), most[kind.Name]+chance, kind.Name)
		tags := kind.Tags()
		if !strings.HasSuffix(kind.Name, "1 bit") { // 301 columns take as many bytes as 300 and 302
			require.Zero(t, tags.Width.Unseen, kind.Name)
		}
		require.LessOrEqual(t, tags.Height.Unseen, 1, "%s: a last strip of full height", kind.Name)
		require.Zero(t, tags.Rows.Unseen, kind.Name)
		require.Zero(t, tags.Counts.Unseen, kind.Name)
	}
}
