package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"bladeline/curves/settings"
)

// A table is text in columns. align has a letter a column: l for words, which
// stand left, r for numbers, which stand right.
type table struct {
	align string
	rows  [][]string
}

func (t *table) row(cells ...string) {
	for i := range cells {
		cells[i] = settings.Printable(cells[i])
	}
	t.rows = append(t.rows, t.clipped(cells))
}

// longestCell is more than a name has, in letters. All rows are as wide as the
// widest, so that one endless name would take its length in every row.
const longestCell = 300

// clipped shortens cells that others stand behind; words that end a row may be as
// long as they are.
func (t *table) clipped(cells []string) []string {
	for i, cell := range cells {
		if last := i == len(t.align)-1; last && t.align[i] == 'l' || utf8.RuneCountInString(cell) <= longestCell {
			continue
		}
		cells[i] = fmt.Sprintf("%.*s…", longestCell-1, cell)
	}
	return cells
}

// write lays the columns out, two spaces apart.
func (t *table) write(w io.Writer) error {
	widths := make([]int, len(t.align))
	for _, row := range t.rows {
		for c, cell := range row {
			widths[c] = max(widths[c], utf8.RuneCountInString(cell))
		}
	}
	b := bufio.NewWriter(w)
	for _, row := range t.rows {
		b.WriteString(t.line(row, widths) + "\n")
	}
	return b.Flush()
}

// line is a row with its cells padded to the widths.
func (t *table) line(row []string, widths []int) string {
	var line strings.Builder
	for c, cell := range row {
		if c == len(t.align)-1 && t.align[c] == 'l' {
			line.WriteString(cell) // nothing stands behind it
			continue
		}
		pad := strings.Repeat(" ", widths[c]-utf8.RuneCountInString(cell))
		if t.align[c] == 'l' {
			line.WriteString(cell + pad + "  ")
		} else {
			line.WriteString(pad + cell + "  ")
		}
	}
	return strings.TrimRight(line.String(), " ")
}

// fixed prints a number to a fixed number of places.
func fixed(places int, v float64) string { return fmt.Sprintf("%.*f", places, v) }

// orUnknown prints what may not be known.
func orUnknown(places int, v *float64) string {
	if v == nil {
		return "?"
	}
	return fixed(places, *v)
}
