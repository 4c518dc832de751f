package history

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
)

// Format names the format of a history's JSON.
const Format = "bladeline.history/1"

// A History is what a shop's OK files say together. What is nil is not known,
// for want of the press.
type History struct {
	Format     string     `json:"format"`
	Findings   []string   `json:"findings"` // sentences: the drifts' and the tendencies'
	Months     []Month    `json:"months"`
	Drifts     []Drift    `json:"drifts"`
	Tendencies []Tendency `json:"tendencies"`
	Jobs       []Job      `json:"jobs"` // in the order of their days
}

// A Share is how many keys were right at once.
type Share struct {
	Read          int      `json:"read"`            // keys of printing zones that say what was run
	WithinStepPct *float64 `json:"within_step_pct"` // of those whose press is known, moved by a step at most
	WithinFeedPct *float64 `json:"within_feed_pct"` // of those, whose ink stayed within 10 %
}

// A Job is what one OK file says.
type Job struct {
	File  string    `json:"file"`
	Job   string    `json:"job"`
	Press string    `json:"press"`
	Date  string    `json:"date"`
	DayOf DayKind   `json:"date_from"` // Dated or OfFile
	Paper *string   `json:"paper"`
	Units []JobUnit `json:"units"`
}

// A JobUnit is what one OK file says of an ink.
type JobUnit struct {
	Ink     string  `json:"ink"`
	Unit    *string `json:"unit"`
	Sweep   float64 `json:"sweep"`
	OKSweep float64 `json:"ok_sweep"`
	SetBy   string  `json:"set_by,omitempty"` // by what its keys were preset, as preset.SetByTrain; "" by the curve
	Share
	FullerPct *float64 `json:"fuller_pct"` // how much more ink was run than preset, in the middle of its keys
}

// A Month is all jobs of a month.
type Month struct {
	Month string `json:"month"` // as 2026-03
	Jobs  int    `json:"jobs"`
	Share
	Units       int `json:"units"`        // inks that were run
	SweepsMoved int `json:"sweeps_moved"` // of those
}

// A Tendency is an ink that runs off the presets on a paper, job after job.
type Tendency struct {
	Press     string  `json:"press"`
	Ink       string  `json:"ink"`
	Paper     *string `json:"paper"`
	FullerPct float64 `json:"fuller_pct"` // the jobs' middle
	Jobs      int     `json:"jobs"`
	SameWay   int     `json:"same_way"` // of those, that lie to the same side
	Text      string  `json:"text"`
}

// Of puts the records of a shop together, in any order.
func Of(records []*Record) *History {
	records = slices.SortedFunc(slices.Values(records), func(a, b *Record) int {
		return cmp.Or(cmp.Compare(a.Day.Date, b.Day.Date), cmp.Compare(a.File, b.File))
	})
	h := &History{Format: Format, Findings: []string{}, Months: months(records), Drifts: drifts(records), Tendencies: tendencies(records), Jobs: []Job{}}
	for _, r := range records {
		h.Jobs = append(h.Jobs, r.job())
	}
	for _, d := range h.Drifts {
		h.Findings = append(h.Findings, d.Text)
	}
	for _, t := range h.Tendencies {
		h.Findings = append(h.Findings, t.Text)
	}
	return h
}

func (r *Record) job() Job {
	j := Job{File: r.File, Job: r.Job, Press: r.Press, Date: r.Day.Date, DayOf: r.Day.Kind, Paper: orNil(r.Paper), Units: []JobUnit{}}
	for i := range r.Units {
		u := &r.Units[i]
		j.Units = append(j.Units, JobUnit{
			Ink: u.Ink, Unit: orNil(u.Unit), Sweep: u.Sweep, OKSweep: u.OKSweep, SetBy: u.SetBy, Share: shareOf(u), FullerPct: u.FullerPct,
		})
	}
	return j
}

func orNil(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

func shareOf(units ...*UnitRecord) Share {
	s := Share{}
	read, step, feed := 0, 0, 0
	for _, u := range units {
		s.Read += u.Read
		if u.on != nil {
			read, step, feed = read+u.Read, step+u.WithinStep, feed+u.WithinFeed
		}
	}
	if read > 0 {
		s.WithinStepPct, s.WithinFeedPct = new(100*float64(step)/float64(read)), new(100*float64(feed)/float64(read))
	}
	return s
}

func months(records []*Record) []Month {
	all := []Month{}
	for chunk := range groups(records) {
		m := Month{Month: chunk[0].Day.Month(), Jobs: len(chunk)}
		var units []*UnitRecord
		for _, r := range chunk {
			for i := range r.Units {
				u := &r.Units[i]
				units = append(units, u)
				if u.OKSweep != u.Sweep {
					m.SweepsMoved++
				}
			}
		}
		m.Units, m.Share = len(units), shareOf(units...)
		all = append(all, m)
	}
	return all
}

// groups parts records, which stand in order, by month.
func groups(records []*Record) func(yield func([]*Record) bool) {
	return func(yield func([]*Record) bool) {
		for len(records) > 0 {
			month := records[0].Day.Month()
			n := slices.IndexFunc(records, func(r *Record) bool { return r.Day.Month() != month })
			if n < 0 {
				n = len(records)
			}
			if !yield(records[:n]) {
				return
			}
			records = records[n:]
		}
	}
}

// What makes a tendency: so many jobs, so much ink, and so many of the jobs to
// the same side. Common practice, no source.
const (
	leastFullerPct = 5
	leastSameWay   = 0.75
)

func tendencies(records []*Record) []Tendency {
	type of struct{ press, ink, paper string }
	jobs := map[of][]float64{}
	for _, r := range records {
		for _, u := range r.Units {
			if u.FullerPct != nil {
				at := of{r.Press, u.Ink, r.Paper}
				jobs[at] = append(jobs[at], *u.FullerPct)
			}
		}
	}
	found := []Tendency{}
	for _, at := range slices.SortedFunc(maps.Keys(jobs), func(a, b of) int {
		return cmp.Or(cmp.Compare(a.press, b.press), cmp.Compare(a.ink, b.ink), cmp.Compare(a.paper, b.paper))
	}) {
		t := Tendency{Press: at.press, Ink: at.ink, Paper: orNil(at.paper), FullerPct: median(jobs[at]), Jobs: len(jobs[at])}
		for _, f := range jobs[at] {
			if f*t.FullerPct > 0 {
				t.SameWay++
			}
		}
		if t.Jobs >= leastJobs && math.Abs(t.FullerPct) >= leastFullerPct && float64(t.SameWay) >= leastSameWay*float64(t.Jobs) {
			t.Text = t.words()
			found = append(found, t)
		}
	}
	return found
}

func (t Tendency) words() string {
	paper := ""
	if t.Paper != nil {
		paper = " on " + *t.Paper
	}
	way, more := "little", "more"
	if t.FullerPct < 0 {
		way, more = "much", "less"
	}
	same := "all"
	if t.SameWay < t.Jobs {
		same = strconv.Itoa(t.SameWay)
	}
	return fmt.Sprintf("%s: presets of %s%s ask for too %s ink: %.0f %% %s was run, the median of %d jobs, %s of them to the same side: learn the curve anew",
		t.Press, t.Ink, paper, way, math.Abs(t.FullerPct), more, t.Jobs, same)
}
