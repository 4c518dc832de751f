package preset

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"bladeline/curves/settings"
)

// laterCell is a cell of a column that files may lack; empty where it does. A
// cell that is empty is as the others of its job or ink.
func (in *presetReader) laterCell(column string) string {
	if at, there := in.columns[column]; there {
		return strings.TrimSpace(in.cells[at])
	}
	return ""
}

// laterTexts reads a text that is the same in all rows which have it.
func (in *presetReader) laterTexts(column string, v **string) {
	text := unguarded(in.laterCell(column))
	switch {
	case text == "":
	case *v == nil:
		*v = &text
	default:
		in.same(column, **v, text)
	}
}

// laterCount reads a whole number that is the same in all rows which have it.
func (in *presetReader) laterCount(column string, v **int) {
	if in.laterCell(column) == "" {
		return
	}
	given := in.number(column)
	n := int(min(max(-MaxRun, given), MaxRun))
	switch {
	case float64(n) != given:
		in.fail(column, settings.Quoted(in.text(column))+" is not a whole number that it can be", fmt.Sprintf("write one from 1 up to %d, or leave it empty", MaxRun))
	case *v == nil:
		*v = &n
	default:
		in.same(column, strconv.Itoa(**v), strconv.Itoa(n))
	}
}

// laterDate reads the day of a preset. One of which a spreadsheet made a day
// that may be another, as 5/11/2026, is not known.
func (in *presetReader) laterDate(column string, v **string) {
	text := in.laterCell(column)
	if text == "" {
		return
	}
	day, sure := dateOf(unguarded(text))
	switch {
	case day == "":
		in.fail(column, settings.Quoted(text)+" is not a day", "write it like 2026-11-26, or leave it empty")
	case !sure:
	case *v == nil:
		*v = &day
	default:
		in.same(column, **v, day)
	}
}

var spreadsheetDate = regexp.MustCompile(`^(\d{1,4})([./-])(\d{1,2})[./-](\d{2,4})\.?(?: 0{1,2}:00(?::00)?)?$`)

// dateOf is the day that a cell names, as a preset states it; "" where it names
// none. Spreadsheets write a day as their country does: year first, or day first
// with points, or day or month first, which is sure where only one of the two can
// be, or both are the same.
func dateOf(cell string) (day string, sure bool) {
	if IsDate(cell) {
		return cell, true
	}
	m := spreadsheetDate.FindStringSubmatch(cell)
	if m == nil {
		return "", true
	}
	a, b, c := whole(m[1]), whole(m[3]), whole(m[4])
	if len(m[1]) == 4 {
		return dayOf(a, b, c), true
	}
	if len(m[4]) == 2 {
		c += 2000
	}
	dayFirst, monthFirst := dayOf(c, b, a), dayOf(c, a, b)
	switch {
	case m[2] == ".", monthFirst == "", monthFirst == dayFirst:
		return dayFirst, true
	case dayFirst == "":
		return monthFirst, true
	}
	return dayFirst, false
}

func whole(digits string) int {
	n, _ := strconv.Atoi(digits) // the pattern lets four digits through
	return n
}

// dayOf is a day as a preset states it; "" where there is none.
func dayOf(year, month, day int) string {
	s := fmt.Sprintf("%04d-%02d-%02d", year, month, day)
	if _, err := time.Parse(time.DateOnly, s); err != nil {
		return ""
	}
	return s
}
