package page

import (
	"fmt"
	"strings"
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bring has a tab bring so many separations of so many rows.
func bring(s *store, tab string, count, rows int) (ids []string) {
	for i := range count {
		sep := &separation{Map: &coverage.Map{Rows: make([]uint64, rows)}, id: fmt.Sprint(tab, " ", rows, " ", i), kind: uploaded, tab: tab}
		ids = append(ids, s.keep(sep).id)
	}
	return ids
}

func (s *store) has(ids []string) (n int) {
	for _, id := range ids {
		if s.held[id] != nil {
			n++
		}
	}
	return n
}

// TestTabsDoNotEmptyEachOther has a tab bring far more than there is place for:
// what goes is its own, however long the other has used none of its inks.
func TestTabsDoNotEmptyEachOther(t *testing.T) {
	s := newStore()
	idle := bring(s, "idle", maxUnits, 1)
	busy := bring(s, "busy", 10*maxHeld, 1)
	assert.Equal(t, maxUnits, s.has(idle))
	assert.Equal(t, maxHeld-maxUnits, s.has(busy[len(busy)-(maxHeld-maxUnits):]), "the last ones")
	assert.Len(t, s.held, maxHeld)
	third := bring(s, "third", maxUnits, 1)
	assert.Equal(t, maxUnits, s.has(idle))
	assert.Equal(t, maxUnits, s.has(third))
}

// TestHeldMemoryIsBounded brings the largest sums there are, from many tabs and
// from one.
func TestHeldMemoryIsBounded(t *testing.T) {
	const rows = 2 << 20 // of 8 bytes
	for _, tabs := range []int{1, 40} {
		s := newStore()
		for i := range 80 {
			bring(s, fmt.Sprint("tab ", i%tabs), 1, rows+i)
			var bytes int
			for _, sep := range s.held {
				bytes += sep.bytes()
			}
			assert.LessOrEqual(t, bytes, maxHeldBytes)
		}
		assert.Len(t, s.held, maxHeldBytes/(8*(rows+80)))
	}
}

// TestNamesAreHeldMemory counts the texts of a separation with its sums.
func TestNamesAreHeldMemory(t *testing.T) {
	const long = 3 << 20
	sep := &separation{Map: &coverage.Map{Rows: make([]uint64, long/8)}}
	before := sep.bytes()
	require.Equal(t, leastBytes, before)
	text := strings.Repeat("x", long)
	for _, name := range []*string{&sep.Ink, &sep.File, &sep.id, &sep.tab} {
		*name = text
		assert.Equal(t, 2*long, sep.bytes())
		*name = ""
	}
	sep.Warnings = []coverage.Warning{{Text: text}}
	assert.Equal(t, 2*long, sep.bytes())
	sep.Cells = coverage.Cells{X: make([]int, 1<<20), Y: make([]int, 1<<20)}
	assert.Equal(t, 2*long+16<<20, sep.bytes())
}
