package settings

import (
	"bytes"
	"slices"
	"strings"
)

// Rows are the text of a file of settings and where in it an array of arrays of
// numbers stands, as points = [[0, 2], [100, 80]]. Rows and columns count from 0.
// An edit returns the new text and leaves Rows as they were; all but what is
// edited, comments and layout too, stays byte for byte.
type Rows struct {
	data    []byte
	array   span // of the whole list, brackets included
	rows    []rowText
	newline string
}

// A span is bytes of a text, from one to before another.
type span struct{ from, to int }

// rowText is where a row stands.
type rowText struct {
	span           // brackets included
	columns []span // its numbers
	comma   int    // behind the row; -1: there is none
}

// FindRows finds the rows of a key by its path; there are none where the text is
// no TOML, or has no array of arrays of numbers there.
func FindRows(data []byte, path ...string) (rows *Rows, found bool) {
	array, node := findValue(data, path...)
	if !isArrayOf(node, isNumbers) {
		return nil, false
	}
	r := &Rows{data: data, array: array, newline: lineEnd(data)}
	r.scan()
	return r, true
}

// scan finds the rows: what stands in the array is brackets, numbers, commas,
// blanks and comments.
func (r *Rows) scan() {
	depth := 0
	for i := r.array.from; i < r.array.to; i++ {
		last := len(r.rows) - 1
		switch c := r.data[i]; {
		case c == '#':
			i += bytes.IndexByte(r.data[i:], '\n')
		case c == '[':
			if depth++; depth == 2 {
				r.rows = append(r.rows, rowText{span: span{from: i}, comma: -1})
			}
		case c == ']':
			if depth--; depth == 1 {
				r.rows[last].to = i + 1
			}
		case c == ',' && depth == 1:
			r.rows[last].comma = i
		case depth == 2 && !strings.ContainsRune(", \t\r\n", rune(c)):
			number := span{i, i + bytes.IndexAny(r.data[i:], ",] \t\r\n#")}
			r.rows[last].columns = append(r.rows[last].columns, number)
			i = number.to - 1
		}
	}
}

// splice is the text with some bytes of it replaced.
func (r *Rows) splice(at span, text string) []byte { return spliced(r.data, at, text) }

func spliced(data []byte, at span, text string) []byte {
	return slices.Concat(data[:at.from], []byte(text), data[at.to:])
}

// Set gives a number another value. Where there is no such number nothing
// changes.
func (r *Rows) Set(row, column int, v float64) []byte {
	if row < 0 || row >= len(r.rows) || column < 0 || column >= len(r.rows[row].columns) {
		return r.data
	}
	return r.splice(r.rows[row].columns[column], Number(v))
}

// SetColumn gives the numbers of a column other values, one a row. Rows beyond
// the values keep theirs.
func (r *Rows) SetColumn(column int, values []float64) []byte {
	data := r.data
	for row := min(len(r.rows), len(values)) - 1; row >= 0; row-- { // from the end, so that the places before it hold
		if column >= 0 && column < len(r.rows[row].columns) {
			data = spliced(data, r.rows[row].columns[column], Number(values[row]))
		}
	}
	return data
}

// Insert puts a new row before a row, or behind the last: on a line of its own,
// indented as its neighbour, where that has one.
func (r *Rows) Insert(row int, numbers ...float64) []byte {
	if r.array.to == 0 { // the zero Rows
		return r.data
	}
	text := "[" + Numbers(numbers) + "]"
	row = min(max(row, 0), len(r.rows))
	switch {
	case len(r.rows) == 0:
		return r.splice(span{r.array.from + 1, r.array.from + 1}, text)
	case row == 0:
		first := r.rows[0]
		return r.splice(span{first.from, first.from}, text+","+r.gap(first))
	}
	before := r.rows[row-1]
	line, alone := r.line(before)
	if !alone {
		return r.splice(span{before.to, before.to}, ","+r.gap(before)+text)
	}
	data := r.splice(span{line.to, line.to}, r.indent(before)+text+","+r.newline)
	if before.comma < 0 {
		data = slices.Insert(data, before.to, ',')
	}
	return data
}

// Remove takes a row out, with its comma and with the line that is its own.
// Where there is no such row nothing changes.
func (r *Rows) Remove(row int) []byte {
	if row < 0 || row >= len(r.rows) {
		return r.data
	}
	p := r.rows[row]
	if line, alone := r.line(p); alone {
		return r.splice(line, "")
	}
	data, gone := r.data, p.span
	switch {
	case p.comma < 0 && row > 0 && r.blank(span{r.rows[row-1].comma + 1, p.from}):
		gone.from = r.rows[row-1].comma
	case p.comma >= 0 && r.blank(span{p.to, p.comma}):
		next := bytes.TrimLeft(r.data[p.comma+1:], " \t")
		gone.to = len(r.data) - len(next)
	case p.comma >= 0: // a comment stands between them and stays
		data = r.splice(span{p.comma, p.comma + 1}, "")
	}
	return spliced(data, gone, "")
}

// line is the line, or lines, that a row stands on, and whether nothing but
// it, its comma and a comment behind it does.
func (r *Rows) line(p rowText) (span, bool) {
	start := lineStart(r.data, p.from)
	end := max(p.to, p.comma+1)
	length := bytes.IndexByte(r.data[end:], '\n') + 1
	rest := bytes.TrimLeft(r.data[end:end+length], " \t\r\n")
	alone := start > r.array.from && r.blank(span{start, p.from}) && r.blank(span{p.to, end - 1}) &&
		length > 0 && (len(rest) == 0 || rest[0] == '#')
	return span{start, end + length}, alone
}

// gap is what parts a new row from its neighbour.
func (r *Rows) gap(neighbour rowText) string {
	start := lineStart(r.data, neighbour.from)
	if start > r.array.from && r.blank(span{start, neighbour.from}) {
		return r.newline + r.indent(neighbour)
	}
	return " "
}

func (r *Rows) indent(p rowText) string {
	return string(r.data[lineStart(r.data, p.from):p.from])
}

func (r *Rows) blank(s span) bool {
	return s.from >= s.to || len(bytes.TrimSpace(r.data[s.from:s.to])) == 0
}
