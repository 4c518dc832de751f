package hotfolder

import (
	"time"
)

// The pauses between attempts begin with firstPause and double up to longestPause.
const (
	firstPause   = time.Second
	longestPause = time.Minute
)

func pause(attempts int) time.Duration {
	p := firstPause
	for range attempts {
		if p *= 2; p >= longestPause {
			return longestPause
		}
	}
	return p
}

// A trouble keeps all jobs waiting: the folder cannot be looked at, or nothing can be
// written. It is said once when it begins, and once when it is over.
type trouble struct {
	text     string // "" is none
	attempts int
	next     time.Time
	asking   bool // whether it is over
}

func (t *trouble) is() bool { return t.text != "" }

// begins notes the trouble, and tells whether it is to be said.
func (t *trouble) begins(text string, now time.Time) (fresh bool) {
	fresh = t.text != text
	t.text, t.asking = text, false
	t.next = now.Add(pause(t.attempts))
	t.attempts++
	return fresh
}

// ends notes that it is over, and tells whether there was any.
func (t *trouble) ends() (was bool) {
	was = t.is()
	*t = trouble{}
	return was
}

// hold keeps a job that could not be written for another attempt.
func (w *Watcher) hold(p *pending, r result, now time.Time) {
	if r.out != nil {
		p.stage = ready
		w.blocked(&w.output, r.out, now)
		return
	}
	p.stage, p.next = held, now.Add(pause(p.attempts))
	p.attempts++
	r.entry.Kind, r.entry.Text = Held, w.Say(r.err)
	w.say(p, r.entry)
}

// blocked says what keeps all jobs waiting.
func (w *Watcher) blocked(t *trouble, why error, now time.Time) {
	if text := w.Say(why); t.begins(text, now) {
		w.log(Entry{Kind: Blocked, Text: text})
	}
}

// unblocked says that it is over.
func (w *Watcher) unblocked(t *trouble, what string) {
	if t.ends() {
		w.log(Entry{Kind: Unlocked, Text: what})
	}
}

// ask finds out whether outputs can be written by now.
func (w *Watcher) ask(now time.Time) {
	if w.output.asking || w.output.next.After(now) {
		return
	}
	w.output.asking = true
	go func() { w.results <- result{probe: true, out: w.probe()} }()
}
