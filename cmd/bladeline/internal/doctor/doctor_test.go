package doctor

import (
	"bytes"
	"os"
	"testing"

	"bladeline/zones/preset"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func found(t *testing.T, thing string) Finding {
	for _, f := range Examine(t.Context()) {
		if f.Thing == thing {
			return f
		}
	}
	t.Fatalf("nothing is said of %s", thing)
	return Finding{}
}

// The plate is counted whole, and its figure is that of a sum worked by hand.
func TestWedge(t *testing.T) {
	m, err := measureWedge(t.Context())
	require.NoError(t, err)
	assert.EqualValues(t, 43890, m.Total()/m.Full, "2 x 209 x 210 / 2")
	assert.InDelta(t, 666.75, m.WidthMM(), 1e-9, "21 zones of 31.75 mm")
	assert.False(t, found(t, "main job").Broken)
	assert.Empty(t, found(t, "main job").Cost)
}

func TestKeysThatDoNotFall(t *testing.T) {
	key := func(openings ...float64) (keys []preset.Key) {
		for i, o := range openings {
			keys = append(keys, preset.Key{Zone: i + 1, OpeningPct: o})
		}
		return keys
	}
	assert.NoError(t, falling(key(80, 40, 40, 2)))
	assert.EqualError(t, falling(key(80, 40, 41, 2)), "key 3 opens wider than the one before it")
	assert.EqualError(t, falling(key(7, 7, 7)), "all keys open alike, 7 %")
}

// What is missing says what it costs; what is there says nothing more.
func TestMissingThings(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("TMPDIR", t.TempDir())
	assert.Contains(t, found(t, "temporary folder").Found, "can be written to, ")
	left, err := os.ReadDir(os.TempDir())
	require.NoError(t, err)
	assert.Empty(t, left)
	t.Setenv("TMPDIR", "/no/such/folder")
	assert.Equal(t, "/no/such/folder, cannot be written to", found(t, "temporary folder").Found)
	assert.Contains(t, found(t, "temporary folder").Cost, "TMPDIR")
	assert.False(t, found(t, "temporary folder").Broken, "separations need none")
	t.Setenv("PATH", "")
	assert.Contains(t, found(t, Ghostscript).Cost, "PDF, PostScript and EPS files are refused")
}

func TestSizes(t *testing.T) {
	bytes, known := memorySize()
	require.True(t, known)
	assert.Greater(t, bytes, uint64(64<<20))
	bytes, known = freeSpace(t.TempDir())
	require.True(t, known)
	assert.Greater(t, bytes, uint64(1<<20))
	assert.Equal(t, "512 MB", sizeOf(512<<20))
	assert.Equal(t, "23.5 GB", sizeOf(47<<29))
}

func TestWriteJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, []Finding{{Thing: "a", Found: "<b>", Broken: true}}))
	assert.Equal(t, "{\n  \"format\": \"bladeline.doctor/1\",\n  \"findings\": [\n    {\n      \"thing\": \"a\",\n      \"found\": \"<b>\",\n      \"cost\": \"\",\n      \"broken\": true\n    }\n  ]\n}\n", b.String())
}
