package hotfolder

import (
	"cmp"
	_ "embed"
	"maps"
	"slices"
	"time"
)

// StatusFormat is what a status says it is; StatusSchema is its JSON Schema, draft
// 2020-12.
const StatusFormat = "bladeline.watch/1"

//go:embed status.schema.json
var StatusSchema []byte

// A Status is what a monitoring system asks.
type Status struct {
	Format  string    `json:"format"`
	Time    time.Time `json:"time"`
	Since   time.Time `json:"since"`
	Host    string    `json:"host"`
	PID     int       `json:"pid"`
	Folder  string    `json:"folder"`
	Out     string    `json:"out"`
	Blocked *string   `json:"blocked"` // why nothing goes on; null where all is well
	Counts  Counts    `json:"counts"`
	Queue   []Queued  `json:"queue"` // the first 100, those that are under way first
	Last    []Last    `json:"last"`  // the last 20 jobs that were done or failed, the latest first
}

// Counts are of jobs: those that came to an end since the watching began, and those
// that lie in the folder.
type Counts struct {
	Done    int `json:"done"`
	Failed  int `json:"failed"`
	Pending int `json:"pending"`
}

// A Queued job lies in the folder and is not done.
type Queued struct {
	Job     string   `json:"job"`
	Stage   string   `json:"stage"` // arriving, ready, waiting, running, held or failed
	Files   int      `json:"files"`
	Missing []string `json:"missing"`
}

// A Last is what came of a job.
type Last struct {
	Job      string    `json:"job"`
	Time     time.Time `json:"time"`
	Kind     Kind      `json:"kind"`
	Error    *string   `json:"error"`
	Press    string    `json:"press"`
	Curve    *string   `json:"curve"` // null is as the press's file names them
	Paper    *string   `json:"paper"`
	Sweep    string    `json:"sweep"`
	Rule     *string   `json:"rule"` // null is none
	Seconds  float64   `json:"seconds"`
	Bytes    int64     `json:"bytes"`
	Warnings int       `json:"warnings"`
	Out      *string   `json:"out"`
}

// How much of the queue and of what was done a status shows.
const (
	mostQueued = 100
	mostLast   = 20
)

// saw counts an entry of the log.
func (w *Watcher) saw(e Entry) {
	switch e.Kind {
	case Done, Same:
		w.counts.Done++
	case Failed:
		w.counts.Failed++
	default:
		return
	}
	w.last = slices.Insert(w.last, 0, Last{
		Job: e.Job, Time: e.Time, Kind: e.Kind, Error: orNull(e.Text),
		Press: e.Chosen.Press, Curve: orNull(e.Chosen.Curve), Paper: orNull(e.Chosen.Paper), Sweep: e.Chosen.Sweep, Rule: orNull(e.Chosen.Rule),
		Seconds: e.Took.Seconds(), Bytes: e.Bytes, Warnings: len(e.Warnings), Out: orNull(e.Out),
	})
	w.last = w.last[:min(len(w.last), mostLast)]
}

func orNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

// statusPause is the time between two statuses, which nobody reads as fast as jobs
// go by.
const statusPause = time.Second

// report hands on a status, at the end in any case.
func (w *Watcher) report(last bool) {
	now := time.Now()
	if w.Status == nil || !last && now.Sub(w.reported) < statusPause {
		return
	}
	w.reported = now
	w.Status(w.status(now))
}

func (w *Watcher) status(now time.Time) Status {
	s := Status{
		Format: StatusFormat, Time: now, Since: w.me.Since, Host: w.me.Host, PID: w.me.PID, Folder: w.Folder, Out: w.Out,
		Blocked: orNull(cmp.Or(w.input.text, w.output.text)), Counts: w.counts, Queue: []Queued{}, Last: append([]Last{}, w.last...),
	}
	stages := []stage{running, ready, held, waiting, failed, arriving}
	jobs := slices.SortedFunc(maps.Values(w.queue.jobs), func(a, b *pending) int {
		return cmp.Or(cmp.Compare(slices.Index(stages, a.stage), slices.Index(stages, b.stage)), a.since.Compare(b.since), cmp.Compare(a.name, b.name))
	})
	for _, p := range jobs {
		if p.stage == settled {
			continue
		}
		s.Counts.Pending++
		if len(s.Queue) < mostQueued {
			missing := []string{}
			if p.stage == waiting {
				missing = p.lacks(w.Inks)
			}
			s.Queue = append(s.Queue, Queued{p.name, string(p.stage), len(p.files), missing})
		}
	}
	return s
}
