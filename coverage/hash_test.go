package coverage_test

import (
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
)

// TestHash: a Map's hash is that of what it says of the separation, and of nothing else.
func TestHash(t *testing.T) {
	base := func() *coverage.Map {
		return &coverage.Map{
			Ink: "Black", Width: 2, Height: 2, DPIX: 10, DPIY: 10, Full: 255, Columns: []uint64{255, 0}, Rows: []uint64{255, 0},
			Cells: coverage.Cells{X: []int{0, 2}, Y: []int{0, 2}, Ink: []uint32{255}},
		}
	}
	was := base().Hash()
	assert.Equal(t, was, base().Hash())
	seen := map[[32]byte]string{was: "the Map itself"}
	for name, change := range map[string]func(*coverage.Map){
		"ink": func(m *coverage.Map) { m.Ink = "Cyan" }, "width": func(m *coverage.Map) { m.Width = 3 }, "height": func(m *coverage.Map) { m.Height = 3 },
		"dpi x": func(m *coverage.Map) { m.DPIX = 20 }, "dpi y": func(m *coverage.Map) { m.DPIY = 20 }, "full": func(m *coverage.Map) { m.Full = 1 },
		"columns": func(m *coverage.Map) { m.Columns[1] = 1 }, "rows": func(m *coverage.Map) { m.Rows[0] = 0 }, "cells": func(m *coverage.Map) { m.Cells.Ink[0] = 1 },
		"cells x": func(m *coverage.Map) { m.Cells.X[1] = 1 }, "cells y": func(m *coverage.Map) { m.Cells.Y[1] = 1 },
		"a column that is a row": func(m *coverage.Map) { m.Columns, m.Rows = []uint64{255}, []uint64{0, 255, 0} },
		"a form": func(m *coverage.Map) {
			m.Sheet = &coverage.Sheet{WidthMM: 100, LengthMM: 100, Pieces: []coverage.Piece{{Map: base()}}}
		},
		"a form's place": func(m *coverage.Map) {
			m.Sheet = &coverage.Sheet{WidthMM: 100, LengthMM: 100, Pieces: []coverage.Piece{{Map: base(), XMM: 1}}}
		},
	} {
		m := base()
		change(m)
		hash := m.Hash()
		assert.Empty(t, seen[hash], name)
		seen[hash] = name
	}
	m := base()
	m.File, m.Page, m.Channel, m.Warnings = "elsewhere.tif", 2, 3, []coverage.Warning{{Code: "x"}}
	assert.Equal(t, was, m.Hash(), "where it was read from is no part of it")
	many := base()
	many.Columns = make([]uint64, 5000)
	more := base()
	more.Columns = append(make([]uint64, 4999), 1)
	assert.NotEqual(t, many.Hash(), more.Hash())
}
