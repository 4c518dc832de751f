package curves

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// SetPoints changes a curve's file so that the curve passes through points:
// one of a coverage that the file has gets a new opening, any other a place
// among those that are there. All the rest of the file, its comments and its
// order, stays byte for byte. Errors are of type *FileError; a curve that
// would fall, or leave 0 to 100, is one, with the point named.
//
// A curve that was learned is marked as edited, for its points are then no
// longer what was learned.
func SetPoints(file string, data []byte, points ...Point) ([]byte, error) {
	before := data
	for _, p := range points {
		list, err := listPoints(file, data)
		if err != nil {
			return nil, err
		}
		if at := list.index(p.CoveragePct); at >= 0 {
			data = list.reopen(at, p.OpeningPct)
		} else {
			data = list.insert(p)
		}
	}
	return checked(file, before, data)
}

// RemovePoints takes the points of these coverages out of a curve's file, with
// the lines that are theirs alone. All else is as in SetPoints.
func RemovePoints(file string, data []byte, coveragesPct ...float64) ([]byte, error) {
	before := data
	for _, coverage := range coveragesPct {
		list, err := listPoints(file, data)
		if err != nil {
			return nil, err
		}
		at := list.index(coverage)
		if at < 0 {
			return nil, &FileError{File: file, Place: "points", What: fmt.Sprintf("none has the coverage %s", Plain(coverage)), Do: "name one of " + list.coverages()}
		}
		data = list.remove(at)
	}
	return checked(file, before, data)
}

// ScalePoints multiplies every opening of a curve's file. All else is as in
// SetPoints.
func ScalePoints(file string, data []byte, factor float64) ([]byte, error) {
	list, err := listPoints(file, data)
	if err != nil {
		return nil, err
	}
	for at := len(list.points) - 1; at >= 0; at-- { // from the end, so that the places before it hold
		list.data = list.reopen(at, list.points[at].OpeningPct*factor)
	}
	return checked(file, data, list.data)
}

// checked is data if they are still a curve, and marked where they are no
// longer one that was learned.
func checked(file string, before, data []byte) ([]byte, error) {
	c, err := ParseCurve(file, data)
	if err != nil {
		return nil, err
	}
	if c.Learned == nil || c.Learned.Edited || bytes.Equal(before, data) {
		return data, nil
	}
	return SetValue(file, data, "true", "learned", "edited")
}

// pointList is the text of a curve's file, and where its points stand in it.
type pointList struct {
	data    []byte
	array   span // of the whole list, brackets included
	points  []pointText
	newline string
}

// A span is bytes of a text, from one to before another.
type span struct{ from, to int }

// pointText is a point and where it stands.
type pointText struct {
	Point
	span         // brackets included
	opening span // the second number
	comma   int  // behind the point; -1: there is none
}

func listPoints(file string, data []byte) (*pointList, error) {
	var raw curveFile
	if err := DecodeTOML(file, data, &raw); err != nil {
		return nil, err
	}
	c, err := raw.curve()
	if err != nil {
		return nil, InFile(err, file, "")
	}
	array, found := findValue(data, "points")
	if !found {
		return nil, &FileError{File: file, Place: "points", What: "there are none to edit", Do: "write points = [[0, 0], [100, 100]]"}
	}
	l := &pointList{data: data, array: array, newline: lineEnd(data)}
	l.scan()
	for i := range l.points {
		l.points[i].Point = c.Points[i]
	}
	return l, nil
}

// scan finds the points in the array, which is known to be one of pairs of
// numbers: what stands in it is brackets, numbers, commas, blanks and comments.
func (l *pointList) scan() {
	depth := 0
	for i := l.array.from; i < l.array.to; i++ {
		last := len(l.points) - 1
		switch c := l.data[i]; {
		case c == '#':
			i += bytes.IndexByte(l.data[i:], '\n')
		case c == '[':
			if depth++; depth == 2 {
				l.points = append(l.points, pointText{span: span{from: i}, comma: -1})
			}
		case c == ']':
			if depth--; depth == 1 {
				l.points[last].to = i + 1
			}
		case c == ',' && depth == 1:
			l.points[last].comma = i
		case depth == 2 && !strings.ContainsRune(", \t\r\n", rune(c)):
			number := span{i, i + bytes.IndexAny(l.data[i:], ",] \t\r\n#")}
			l.points[last].opening = number // the first number is overwritten by the second
			i = number.to - 1
		}
	}
}

// index is that of the point of a coverage, -1 where there is none.
func (l *pointList) index(coveragePct float64) int {
	return slices.IndexFunc(l.points, func(p pointText) bool { return math.Abs(p.CoveragePct-coveragePct) < minSpacingPct })
}

func (l *pointList) coverages() string {
	var texts []string
	for _, p := range l.points {
		texts = append(texts, number(p.CoveragePct))
	}
	return strings.Join(texts, ", ")
}

// splice is the text with some bytes of it replaced.
func (l *pointList) splice(at span, text string) []byte {
	return slices.Concat(l.data[:at.from], []byte(text), l.data[at.to:])
}

// reopen gives a point another opening.
func (l *pointList) reopen(at int, openingPct float64) []byte {
	return l.splice(l.points[at].opening, number(openingPct))
}

// insert puts a new point before the first of a greater coverage: on a line of
// its own, indented as its neighbour, where that has one.
func (l *pointList) insert(p Point) []byte {
	text := fmt.Sprintf("[%s, %s]", number(p.CoveragePct), number(p.OpeningPct))
	next := slices.IndexFunc(l.points, func(q pointText) bool { return q.CoveragePct > p.CoveragePct })
	switch {
	case len(l.points) == 0:
		return l.splice(span{l.array.from + 1, l.array.from + 1}, text)
	case next == 0:
		first := l.points[0]
		return l.splice(span{first.from, first.from}, text+","+l.gap(first))
	case next < 0:
		next = len(l.points)
	}
	before := l.points[next-1]
	line, alone := l.line(before)
	if !alone {
		return l.splice(span{before.to, before.to}, ","+l.gap(before)+text)
	}
	data := l.splice(span{line.to, line.to}, l.indent(before)+text+","+l.newline)
	if before.comma < 0 {
		data = slices.Insert(data, before.to, ',')
	}
	return data
}

// remove takes a point out, with its comma and with the line that is its own.
func (l *pointList) remove(at int) []byte {
	p := l.points[at]
	if line, alone := l.line(p); alone {
		return l.splice(line, "")
	}
	gone := p.span
	switch {
	case p.comma < 0 && at > 0 && l.blank(span{l.points[at-1].comma + 1, p.from}):
		gone.from = l.points[at-1].comma
	case p.comma >= 0 && l.blank(span{p.to, p.comma}):
		next := bytes.TrimLeft(l.data[p.comma+1:], " \t")
		gone.to = len(l.data) - len(next)
	case p.comma >= 0: // a comment stands between them and stays
		l.data = l.splice(span{p.comma, p.comma + 1}, "")
	}
	return l.splice(gone, "")
}

// line is the line, or lines, that a point stands on, and whether nothing but
// it, its comma and a comment behind it does.
func (l *pointList) line(p pointText) (span, bool) {
	start := bytes.LastIndexByte(l.data[:p.from], '\n') + 1
	end := max(p.to, p.comma+1)
	length := bytes.IndexByte(l.data[end:], '\n') + 1
	rest := bytes.TrimLeft(l.data[end:end+length], " \t\r\n")
	alone := start > l.array.from && l.blank(span{start, p.from}) && l.blank(span{p.to, end - 1}) &&
		length > 0 && (len(rest) == 0 || rest[0] == '#')
	return span{start, end + length}, alone
}

// gap is what parts a new point from its neighbour.
func (l *pointList) gap(neighbour pointText) string {
	start := bytes.LastIndexByte(l.data[:neighbour.from], '\n') + 1
	if start > l.array.from && l.blank(span{start, neighbour.from}) {
		return l.newline + l.indent(neighbour)
	}
	return " "
}

func (l *pointList) indent(p pointText) string {
	start := bytes.LastIndexByte(l.data[:p.from], '\n') + 1
	return string(l.data[start:p.from])
}

func (l *pointList) blank(s span) bool {
	return s.from >= s.to || len(bytes.TrimSpace(l.data[s.from:s.to])) == 0
}

// number is a number as a person writes it, freed of the binary fraction's
// tail: 11 × 1.1 is 12.1.
func number(v float64) string { return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64) }
