package history

import "time"

// A Day is when a job was run.
type Day struct {
	Date string // as 2026-03-14
	Kind DayKind
}

// A DayKind is how the day is known.
type DayKind string

// The kinds of day.
const (
	Dated  DayKind = "preset" // the preset states it
	OfFile DayKind = "file"   // it does not, and the file was last changed then
)

// Month is the day's month, as 2026-03.
func (d Day) Month() string { return d.Date[:len("2026-03")] }

// FileDay is the day of a file that was last changed at a time, in UTC.
func FileDay(changed time.Time) Day {
	return Day{changed.UTC().Format(time.DateOnly), OfFile}
}

// monthWords writes a month for people: March 2026.
func monthWords(month string) string {
	t, err := time.Parse("2006-01", month)
	if err != nil {
		return month
	}
	return t.Format("January 2006")
}
