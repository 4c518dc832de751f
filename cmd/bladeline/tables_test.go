package main

import (
	"bytes"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEndlessCells has a name of a million letters in one row: no other is made
// that wide, and where nothing stands behind it, it is whole.
func TestEndlessCells(t *testing.T) {
	endless := strings.Repeat("ü", 1_000_000)
	last := &table{align: "lrl"}
	last.row("Black", "1", endless)
	last.row(endless, endless, "b.tif")
	var b bytes.Buffer
	require.NoError(t, last.write(&b))
	cut := strings.Repeat("ü", longestCell-1) + "…"
	pad := strings.Repeat(" ", longestCell)
	assert.Equal(t, "Black"+pad[5:]+"  "+pad[1:]+"1  "+endless+"\n"+cut+"  "+cut+"  b.tif\n", b.String())
}

// TestTablesAreWrittenAsTheyAreMade counts what a table of many rows takes
// beside its cells: a row at a time.
func TestTablesAreWrittenAsTheyAreMade(t *testing.T) {
	tab := &table{align: "lr"}
	for range 2_000 {
		tab.row("a", "1")
	}
	tab.row(strings.Repeat("a", 100_000), "1")
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	most := 0
	require.NoError(t, tab.write(writerFunc(func(p []byte) (int, error) {
		most = max(most, len(p))
		return len(p), nil
	})))
	runtime.ReadMemStats(&after)
	assert.Less(t, most, 1<<16, "bytes at once")
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(50<<20))
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(p []byte) (int, error) { return f(p) }
