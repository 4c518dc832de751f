package hotfolder

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
)

// A result is what came of a task, or of asking whether outputs can be written.
type result struct {
	task  task
	probe bool
	entry Entry
	err   error
	out   error // why nothing at all can be written
}

// soonAgain is the least time between two looks at the folder, and mostLooking that in
// parts of what a look takes: one at thousands of files, or at a slow share, is not begun
// over and over while jobs are waiting.
const (
	soonAgain   = 200 * time.Millisecond
	mostLooking = 5
)

// watch is Run, however long that takes: one goroutine has the queue, others preset.
func (w *Watcher) watch(ctx context.Context) error {
	working, stop := context.WithCancelCause(context.WithoutCancel(ctx))
	defer stop(nil)
	defer context.AfterFunc(ctx, func() {
		time.AfterFunc(graceTime, func() { stop(context.Cause(ctx)) })
	})()
	defer w.release()
	w.ears = listen()
	defer w.ears.close()
	w.log(Entry{Kind: Began, Text: w.Folder})
	for {
		now := time.Now()
		if !w.lookAt.After(now) {
			w.look(now)
		}
		next := w.queue.wake(&w.Options, w.lister, now)
		if ctx.Err() == nil {
			w.handOut(working, now)
		}
		idle := w.queue.count(running) == 0
		if idle && (ctx.Err() != nil || w.Once && w.drained()) {
			w.log(Entry{Kind: Ended, Text: w.Folder})
			w.report(true)
			return w.left()
		}
		w.report(false)
		w.await(ctx, earliest(next, w.lookAt, w.output.next))
	}
}

// earliest is the first of times that are not zero.
func earliest(times ...time.Time) (first time.Time) {
	for _, t := range times {
		if !t.IsZero() && (first.IsZero() || t.Before(first)) {
			first = t
		}
	}
	return first
}

// await waits for whatever comes first.
func (w *Watcher) await(ctx context.Context, until time.Time) {
	timer := time.NewTimer(max(10*time.Millisecond, time.Until(until)))
	defer timer.Stop()
	done := ctx.Done()
	if ctx.Err() != nil { // and jobs are waited for
		done = nil
	}
	select {
	case r := <-w.results:
		w.settle(r, time.Now())
		w.lookSoon() // files may have changed, or gone
	case <-w.ears.heard:
		w.lookSoon()
	case <-timer.C:
	case <-done:
	}
}

func (w *Watcher) lookSoon() { w.lookAt = earliest(w.lookAt, w.lookAgain) }

// look looks at the folder. Where it is gone the jobs are what they were.
func (w *Watcher) look(now time.Time) {
	defer func() {
		took := time.Since(now)
		w.lookAgain = now.Add(max(soonAgain, mostLooking*took))
		w.lookAt = now.Add(max(w.Poll, mostLooking*took))
	}()
	err := w.keepLock()
	var found listing
	if err == nil {
		found, err = w.lister.list()
	}
	if err != nil {
		w.blocked(&w.input, fmt.Errorf("%s: cannot be looked at: %w; bring it back", w.Folder, unwrapped(err)), now)
		return
	}
	w.unblocked(&w.input, w.Folder)
	w.ears.to(found.folders)
	w.sayPassed(found.passed)
	w.queue.look(found, now)
}

// sayPassed logs once of each file that is of no job why that is.
func (w *Watcher) sayPassed(passed map[string]string) {
	for _, name := range slices.Sorted(maps.Keys(passed)) {
		if w.passed[name] != passed[name] {
			w.log(Entry{Kind: Noted, Text: name + ": " + passed[name]})
		}
	}
	w.passed = passed
}

// handOut gives ready jobs to workers.
func (w *Watcher) handOut(ctx context.Context, now time.Time) {
	if w.output.is() {
		w.ask(now)
	}
	for !w.output.is() && !w.input.is() && w.queue.count(running) < w.Jobs {
		p := w.queue.next()
		if p == nil {
			return
		}
		p.stage = running
		t := task{p.name, p.files, p.lacks(w.Inks), p.tooLate}
		go func() { w.results <- w.result(ctx, t) }()
	}
}

// result does a task.
func (w *Watcher) result(ctx context.Context, t task) result {
	r := result{task: t}
	r.entry, r.err = w.do(ctx, t)
	if out, is := errors.AsType[*outError](r.err); is {
		r.out = out
	} else if _, is := errors.AsType[*job.UnwrittenError](r.err); is {
		r.out = w.probe()
	}
	return r
}

// settle sees to what came of a task.
func (w *Watcher) settle(r result, now time.Time) {
	if r.probe {
		if r.out != nil {
			w.blocked(&w.output, r.out, now)
		} else {
			w.unblocked(&w.output, w.Out)
		}
		return
	}
	p := w.queue.jobs[r.task.name]
	if r.entry.Kind == Done || r.err == nil && r.entry.Kind != "" && r.entry.Kind != Waits {
		w.log(r.entry)
	}
	_, unwritten := errors.AsType[*job.UnwrittenError](r.err)
	switch {
	case len(p.files) == 0:
		delete(w.queue.jobs, p.name)
	case !slices.EqualFunc(p.files, r.task.files, file.same):
		p.stage = arriving
	case unwritten:
		w.hold(p, r, now)
	case r.err != nil: // they changed, or the watching ends
		p.stage, p.since = arriving, now
	case r.entry.Kind == Waits:
		p.stage = waiting
		w.say(p, r.entry)
	case r.entry.Kind == Failed:
		p.stage = failed
	default:
		p.stage = settled
	}
}

// say logs what a job waits for, once.
func (w *Watcher) say(p *pending, e Entry) {
	if text := cmp.Or(e.Text, strings.Join(e.Missing, ", ")); p.told != text {
		p.told = text
		w.log(e)
	}
}

// drained tells whether all is done that can be.
func (w *Watcher) drained() bool {
	return w.output.is() || w.input.is() || w.queue.count(arriving, ready) == 0
}

// left is how watching ends: once, it may leave jobs behind.
func (w *Watcher) left() error {
	if w.Once && (w.output.is() || w.input.is() || w.counts.Failed > 0 || w.queue.count(arriving, ready, waiting, held) > 0) {
		return ErrLeft
	}
	return nil
}
