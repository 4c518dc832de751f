package hotfolder

import (
	"cmp"
	"slices"
	"time"
)

// A queue is the jobs in the folder.
type queue struct {
	jobs map[string]*pending
}

// look is told what lies in the folder. Jobs that are no longer there are forgotten:
// what is left of them is in their records.
func (q *queue) look(found listing, now time.Time) {
	if q.jobs == nil {
		q.jobs = map[string]*pending{}
	}
	for name, files := range found.jobs {
		p := q.jobs[name]
		if p == nil {
			p = &pending{name: name, stage: arriving}
			q.jobs[name] = p
		}
		p.look(files, found.missing[name], now)
	}
	for name, p := range q.jobs {
		if _, there := found.jobs[name]; there {
			continue
		}
		if p.stage == running { // it is asked after when it ends
			p.files, p.since = nil, now
		} else {
			delete(q.jobs, name)
		}
	}
}

// wake moves on jobs whose time has come, and returns when the next one's will; zero
// is never.
func (q *queue) wake(o *Options, l *lister, now time.Time) (next time.Time) {
	soon := func(at time.Time) {
		if next.IsZero() || at.Before(next) {
			next = at
		}
	}
	for _, p := range q.jobs {
		switch p.stage {
		case arriving:
			still := p.since.Add(o.Settle)
			switch {
			case still.After(now):
				soon(still)
			case o.Once || untouched(l, p.files) || now.Sub(p.since) >= o.Wait:
				p.stage = ready
			default: // is looked at again with the folder
			}
		case waiting:
			if until := p.since.Add(o.Wait); until.After(now) {
				soon(until)
			} else if !o.Once {
				p.stage, p.tooLate = ready, true
			}
		case held:
			if p.next.After(now) {
				soon(p.next)
			} else {
				p.stage = ready
			}
		}
	}
	return next
}

// next is the job that is ready for the longest time, nil where none is.
func (q *queue) next() *pending {
	var first *pending
	for _, p := range q.jobs {
		if p.stage != ready {
			continue
		}
		if first == nil || cmp.Or(p.since.Compare(first.since), cmp.Compare(p.name, first.name)) < 0 {
			first = p
		}
	}
	return first
}

// count is how many jobs are at any of these stages.
func (q *queue) count(stages ...stage) (n int) {
	for _, p := range q.jobs {
		if slices.Contains(stages, p.stage) {
			n++
		}
	}
	return n
}
