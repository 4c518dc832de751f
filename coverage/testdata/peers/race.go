package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// A lap is one whole process, from start to end.
type lap struct {
	wallS   float64
	cpuS    float64 // of all its threads
	peakMiB float64 // resident memory, never less than this program's own
	pct     []float64
}

// A result is a row and its laps, one of each program in turn.
type result struct {
	row
	facts        facts
	sizeMB       float64
	ours, theirs []lap
}

// race runs bladeline and the peer in turn, after a run each that brings file
// and programs into memory.
func (t tools) race(dir string, r row, runs int) (result, error) {
	res := result{row: r}
	path := filepath.Join(dir, r.plate.file)
	info, err := os.Stat(path)
	if err != nil {
		return res, err
	}
	res.sizeMB = float64(info.Size()) / 1e6
	if res.facts, err = readFacts(path); err != nil {
		return res, err
	}
	if err := t.warmUp(path, r); err != nil {
		return res, err
	}
	if r.once {
		runs = 1
	}
	for range runs {
		a, b, err := t.pair(path, r.peer)
		if err != nil {
			return res, err
		}
		if !agree(a.pct, res.facts.pct) {
			return res, fmt.Errorf("%s: both find coverages of %v %% and it was drawn with %v %%", path, a.pct, res.facts.pct)
		}
		res.ours, res.theirs = append(res.ours, a), append(res.theirs, b)
	}
	return res, nil
}

func (t tools) warmUp(path string, r row) error {
	_, err := t.lap(bladeline, path)
	if err == nil && !r.once {
		_, err = t.lap(r.peer, path)
	}
	return err
}

// pair runs both programs; it is an error if they do not agree.
func (t tools) pair(path string, p peer) (ours, theirs lap, err error) {
	if ours, err = t.lap(bladeline, path); err != nil {
		return ours, theirs, err
	}
	if theirs, err = t.lap(p, path); err != nil {
		return ours, theirs, err
	}
	if !agree(ours.pct, theirs.pct) {
		err = fmt.Errorf("%s: bladeline finds coverages of %v %% and %s of %v %%; one of them is wrong", path, ours.pct, p.name, theirs.pct)
	}
	return ours, theirs, err
}

// agree compares within 1e-9 of the second, which programs print with nine
// decimals.
func agree(a, b []float64) bool {
	if len(a) == 0 || len(a) != len(b) {
		return false
	}
	for i := range a {
		if !(math.Abs(a[i]-b[i]) <= 1e-9*b[i]) {
			return false
		}
	}
	return true
}

func (t tools) lap(p peer, path string) (lap, error) {
	command := p.command(t, path)
	cmd := exec.Command(command[0], command[1:]...)
	start := time.Now()
	out, err := cmd.Output()
	l := lap{wallS: time.Since(start).Seconds()}
	if exit, ok := errors.AsType[*exec.ExitError](err); ok {
		return l, fmt.Errorf("%s: %s: %w: %s", path, p.name, err, exit.Stderr)
	}
	if err != nil {
		return l, err
	}
	l.cpuS = (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
	// Linux counts in KiB.
	l.peakMiB = float64(cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) / 1024
	if l.pct, err = p.coverage(t, out); err != nil {
		return l, fmt.Errorf("%s: %s: %w", path, p.name, err)
	}
	return l, nil
}
