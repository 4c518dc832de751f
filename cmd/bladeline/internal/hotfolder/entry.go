package hotfolder

import (
	"fmt"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones"
)

// A Kind is what an Entry tells.
type Kind string

const (
	Began    Kind = "began"    // the folder is watched from now on
	Done     Kind = "done"     // a job is preset
	Same     Kind = "same"     // its files changed, what they print did not, and it stays as it is
	Moved    Kind = "moved"    // a job that was done or failed before is out of the way now
	Failed   Kind = "failed"   // it is not preset, and is tried again when its files change
	Waits    Kind = "waits"    // for inks or files
	Held     Kind = "held"     // it cannot be written, and is tried again
	Blocked  Kind = "blocked"  // nothing can be read, or nothing written
	Unlocked Kind = "unlocked" // it can, again
	Noted    Kind = "noted"    // something is as it should not be, and all goes on
	Ended    Kind = "ended"    // the folder is no longer watched
)

// An Entry is what a log says of one job, or of the watching.
type Entry struct {
	Time time.Time
	Kind Kind
	Job  string // "" is the watching itself
	Text string // why, in one line; of jobs that fail, what to do, too

	Chosen    Chosen
	Out       string // folder of what was written
	Files     int
	Bytes     int64         // that they have
	Took      time.Duration // to preset the job
	Missing   []string      // inks or files
	Warnings  []zones.Warning
	LeftOut   []string   // composites of separations, by their names
	Blank     []string   // inks of the process that print nothing, and get no unit
	Separated []job.Note // PDFs, and with what
}

// BytesPerSecond is how fast files were read and preset; 0 is not known.
func (e *Entry) BytesPerSecond() float64 {
	if e.Took <= 0 {
		return 0
	}
	return float64(e.Bytes) / e.Took.Seconds()
}

// Chosen is what a job is preset with, in the words that it was asked for in.
type Chosen struct {
	Press string
	Curve string // "" is as the press's file names them
	Paper string // the stock; "" is not said
	Sweep string // "auto" is found
	Rule  string // that says so; "" is none, and it is as asked for all jobs
}

func chosenBy(t *job.Ticket, r *rule) Chosen {
	c := Chosen{Press: t.Press, Paper: t.Run.Paper, Sweep: "auto"}
	if r != nil {
		c.Rule = r.called
	}
	c.Curve = perInk(t.Curves, func(v string) string { return v })
	if sweeps := perInk(t.Sweeps, sweepText); sweeps != "" {
		c.Sweep = sweeps
	}
	return c
}

func sweepText(v *float64) string {
	if v == nil {
		return "auto"
	}
	return fmt.Sprint(*v)
}

// perInk are choices as they are written: VALUE, INK=VALUE.
func perInk[T any](choices []job.Choice[T], text func(T) string) string {
	var parts []string
	for _, c := range choices {
		part := text(c.Value)
		if c.Ink != "" {
			part = c.Ink + "=" + part
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", ")
}
