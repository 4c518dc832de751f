package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// A table is text in columns. align has a letter a column: l for words, which
// stand left, r for numbers, which stand right.
type table struct {
	align string
	rows  [][]string
}

func (t *table) row(cells ...string) {
	for i := range cells {
		cells[i] = oneLine(cells[i])
	}
	t.rows = append(t.rows, cells)
}

// write lays the columns out, two spaces apart.
func (t *table) write(w io.Writer) error {
	widths := make([]int, len(t.align))
	for _, row := range t.rows {
		for c, cell := range row {
			widths[c] = max(widths[c], utf8.RuneCountInString(cell))
		}
	}
	var b strings.Builder
	for _, row := range t.rows {
		var line strings.Builder
		for c, cell := range row {
			pad := strings.Repeat(" ", widths[c]-utf8.RuneCountInString(cell))
			if t.align[c] == 'l' {
				line.WriteString(cell + pad + "  ")
			} else {
				line.WriteString(pad + cell + "  ")
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// decimal prints a number to a fixed number of places.
func decimal(places int, v float64) string { return fmt.Sprintf("%.*f", places, v) }

// orUnknown prints what may not be known.
func orUnknown(places int, v *float64) string {
	if v == nil {
		return "?"
	}
	return decimal(places, *v)
}
