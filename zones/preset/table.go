package preset

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// table reads a CSV row by row and keeps the first error.
type table struct {
	file    string
	csv     *csv.Reader
	columns map[string]int
	others  []int // columns of a person's own
	comma   bool  // decimal commas may occur
	least   int   // how many cells a row has at least
	cells   []string
	line    int
	err     error
}

// A tableKind is a kind of table and its columns.
type tableKind struct {
	of      string // as "a preset"
	columns []string
	later   []string // that a file may lack
	lists   bool     // whether an error names those as well
	others  bool     // a person's own may stand beside them
}

func (k tableKind) knows(column string) bool {
	return slices.Contains(k.columns, column) || slices.Contains(k.later, column)
}

// openTable reads a file's text and its header, as newTable says.
func openTable(file string, r io.Reader, kind tableKind) (*table, error) {
	data, err := readAll(file, r)
	if err != nil {
		return nil, err
	}
	return newTable(file, inUTF8(data), kind)
}

// newTable reads the header, which must name all columns of the kind, and no
// other but later ones and, where they may be, a person's own.
func newTable(file string, data []byte, kind tableKind) (*table, error) {
	if !bytes.ContainsRune(data, '\n') {
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	data = withoutSep(data)
	t := &table{file: file, csv: csv.NewReader(bytes.NewReader(data)), columns: map[string]int{}, line: 1}
	if err := noCSV(file, data); err != nil {
		return nil, err
	}
	if !utf8.Valid(data) {
		t.fail("", "the text is not UTF-8", "save it as CSV in UTF-8")
		return nil, t.err
	}
	t.csv.Comma = separator(headerLine(data))
	t.csv.FieldsPerRecord = -1 // whole looks
	t.comma = kind.others || t.csv.Comma != ','
	do := "keep to the columns " + strings.Join(kind.columns, ", ")
	if kind.lists {
		do += " and any of " + strings.Join(kind.later, ", ")
	}
	if !t.next() {
		t.fail("", "there is no header", "give the CSV of "+kind.of)
		return nil, t.err
	}
	for i, cell := range t.cells {
		name := strings.TrimSpace(cell)
		if small := strings.ToLower(name); kind.knows(small) {
			name = small // a spreadsheet likes words to begin with a capital
		}
		_, twice := t.columns[name]
		switch {
		case name == "" || kind.others && !kind.knows(name):
			t.others = append(t.others, i)
			continue
		case twice || !kind.knows(name):
			t.fail("", fmt.Sprintf("%s is not a column of %s, or is there twice", settings.Quoted(name), kind.of), do)
		}
		t.columns[name] = i
	}
	for _, name := range kind.columns {
		if _, ok := t.columns[name]; !ok {
			t.fail(name, "is missing", do)
		}
	}
	for name, at := range t.columns {
		if !mayBeEmpty[name] {
			t.least = max(t.least, at+1)
		}
	}
	return t, t.err
}

// withoutSep is the text of a table without a first line like sep=;, by which some
// spreadsheets tell each other what stands between cells. The line stays, empty, so that
// those behind it keep their numbers.
func withoutSep(data []byte) []byte {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	mark := strings.ToLower(strings.Trim(string(first), "\ufeff\" \r"))
	if strings.HasPrefix(mark, "sep=") && len(mark) <= len("sep=;") {
		return data[len(first):]
	}
	return data
}

// headerLine is the first line of a table.
func headerLine(data []byte) string {
	header, _, _ := strings.Cut(strings.TrimLeft(string(withoutSep(data)), "\r\n"), "\n")
	return header
}

// separator is what stands most often between the names of the header.
func separator(header string) rune {
	best := ','
	for _, r := range ";\t" {
		if strings.Count(header, string(r)) > strings.Count(header, string(best)) {
			best = r
		}
	}
	return best
}

// next goes to the next row that is not empty.
func (t *table) next() bool {
	for t.err == nil {
		cells, err := t.csv.Read()
		if err == io.EOF {
			return false
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			t.line = bad.Line
			t.fail("", bad.Err.Error(), "give the CSV as it was written, every row with all its cells")
			return false
		}
		t.cells = cells
		t.line, _ = t.csv.FieldPos(0)
		if slices.ContainsFunc(cells, isSaid) {
			return t.whole()
		}
	}
	return false
}

func isSaid(cell string) bool { return strings.TrimSpace(cell) != "" }

// whole tells whether a row has its cells. Spreadsheets leave empty ones out at
// the end of a row, or write more of them than the header has; between commas one
// more would also come of a decimal comma.
func (t *table) whole() bool {
	width := len(t.columns) + len(t.others)
	if width == 0 { // the header itself
		return true
	}
	switch more := len(t.cells) > width; {
	case more && t.csv.Comma == ',':
		t.fail("", csv.ErrFieldCount.Error(), "write a point for a decimal comma, or part the cells by semicolons")
		return false
	case len(t.cells) < t.least, more && strings.TrimSpace(strings.Join(t.cells[width:], "")) != "":
		t.fail("", csv.ErrFieldCount.Error(), "give the CSV as it was written, every row with all its cells")
		return false
	}
	return true
}

func (t *table) fail(column, what, do string) {
	if t.err != nil {
		return
	}
	place := fmt.Sprintf("row %d", t.line)
	if column != "" {
		place += ", column " + column
	}
	t.err = &settings.FileError{File: t.file, Place: place, What: what, Do: do}
}

// text is the cell of a column, empty where the row ends before it.
func (t *table) text(column string) string { return cellOf(t.cells, t.columns[column]) }

func (t *table) same(column, above, here string) {
	if above != here {
		t.fail(column, fmt.Sprintf("%s differs from %s above", settings.Quoted(here), settings.Quoted(above)), "it must be the same in all these rows")
	}
}

// pointed is a number as a program writes it: with a point for its decimal comma,
// where one may occur, and without what parts thousands. In a preset a comma is
// a decimal one even between commas, since none of its numbers has another.
func (t *table) pointed(s string) string {
	if len(s) > len("999") && !isDecimal(s) && thousands.MatchString(s) {
		s = strings.Map(func(r rune) rune {
			if unicode.IsSpace(r) || r == '\'' {
				return -1
			}
			return r
		}, s)
	}
	if t.comma && !strings.Contains(s, ".") {
		return strings.Replace(s, ",", ".", 1)
	}
	return s
}

// thousands are numbers whose thousands are parted by blanks, or as in
// Switzerland.
var thousands = regexp.MustCompile(`^[+-]?\d{1,3}([\s\x{a0}\x{2009}\x{202f}']\d{3})+([.,]\d+)?$`)

// isDecimal keeps out what strconv also reads: inf, nan, hexadecimals, and a
// point without digits on both sides.
func isDecimal(text string) bool {
	digit := func(i int) bool { return i < len(text) && '0' <= text[i] && text[i] <= '9' }
	first := 0
	if strings.HasPrefix(text, "+") || strings.HasPrefix(text, "-") {
		first = 1
	}
	point := strings.IndexByte(text, '.')
	for _, b := range []byte(text) {
		if !('0' <= b && b <= '9') && b != '.' && b != '-' && b != '+' && b != 'e' && b != 'E' {
			return false
		}
	}
	return digit(first) && (point < 0 || digit(point+1))
}

func (t *table) number(column string) float64 { return t.numberIn(column, t.text(column)) }

func (t *table) numberIn(column, text string) float64 {
	text = t.pointed(strings.TrimSpace(text))
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !isDecimal(text) {
		t.fail(column, settings.Quoted(t.text(column))+" is not a number", "write one, without its unit")
	}
	return v
}

// optional is nil where the cell is empty.
func (t *table) optional(column string) *float64 {
	if strings.TrimSpace(t.text(column)) == "" {
		return nil
	}
	return new(t.number(column))
}

func (t *table) zone(column string) int {
	v := t.number(column)
	if !(v >= 1 && v <= press.MaxZones) || v != float64(int(v)) {
		t.fail(column, fmt.Sprintf("%s is not a zone", settings.Quoted(t.text(column))), fmt.Sprintf("zones count from 1, up to %d", press.MaxZones))
		return 1
	}
	return int(v)
}
