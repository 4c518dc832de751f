package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// runLine says where and when an ink is printed, on what and how often, as far as
// the preset knows: "Unit 2, pass 1 · coated · 5,000 sheets · 26 November 2026".
func (s *sheet) runLine() string {
	var parts []string
	if place := s.place(); place != "" {
		parts = append(parts, capital(place))
	}
	if s.preset.Paper != nil {
		parts = append(parts, *s.preset.Paper)
	}
	if n := s.preset.RunLength; n != nil {
		parts = append(parts, sheets(*n))
	}
	if s.preset.Date != nil {
		parts = append(parts, longDate(*s.preset.Date))
	}
	return strings.Join(parts, " · ")
}

// place is "unit 2, pass 1", or what is known of that.
func (s *sheet) place() string {
	var parts []string
	if s.unit.Unit != nil {
		parts = append(parts, "unit "+*s.unit.Unit)
	}
	if s.unit.Pass != nil {
		parts = append(parts, fmt.Sprintf("pass %d", *s.unit.Pass))
	}
	return strings.Join(parts, ", ")
}

// sheets is a number of sheets, in groups of three digits.
func sheets(n int) string {
	if n == 1 {
		return "1 sheet"
	}
	digits := strconv.Itoa(n)
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + "," + digits[at:]
	}
	return digits + " sheets"
}

// longDate is a preset's day in words.
func longDate(date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return day.Format("2 January 2006")
}
