package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"bladeline/cmd/bladeline/internal/hotfolder"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
)

// A watchLog writes the entries of a watcher, a line each.
type watchLog struct {
	to   io.Writer
	json bool

	mu       sync.Mutex
	unstatus string // what was last said of the status that cannot be written
}

func (l *watchLog) write(e hotfolder.Entry) {
	line := []byte(textLine(e) + "\n")
	if l.json {
		line = jsonLine(e)
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.to.Write(line) // who does not read the log gets the presets all the same
}

// textLine is an entry for people.
func textLine(e hotfolder.Entry) string {
	parts := []string{e.Time.Format(time.DateTime), fmt.Sprintf("%-8s", e.Kind)}
	if e.Job != "" {
		parts = append(parts, e.Job+":")
	}
	switch e.Kind {
	case hotfolder.Done, hotfolder.Same, hotfolder.Failed:
		parts = append(parts, worked(e))
	case hotfolder.Waits:
		parts = append(parts, "for "+strings.Join(e.Missing, ", "))
	}
	if e.Text != "" {
		parts = append(parts, e.Text)
	}
	return settings.Printable(strings.Join(parts, " "))
}

// worked says how long a job took, and what it is preset with.
func worked(e hotfolder.Entry) string {
	files := "1 file"
	if e.Files != 1 {
		files = fmt.Sprintf("%d files", e.Files)
	}
	text := fmt.Sprintf("%s, %s in %.2f s (%s/s)", files, bytesText(float64(e.Bytes)), e.Took.Seconds(), bytesText(e.BytesPerSecond()))
	if e.Kind == hotfolder.Same {
		return text + "; prints what it printed before, and stays as it is"
	}
	text += chosenText(e.Chosen)
	for _, n := range e.Separated {
		text += "; separated by Ghostscript " + n.Version
	}
	if len(e.LeftOut) > 0 {
		text += "; left out " + strings.Join(e.LeftOut, ", ") + ", as the composite by its name"
	}
	if len(e.Blank) > 0 {
		text += "; no unit for " + strings.Join(e.Blank, ", ") + holdNothing(len(e.Blank))
	}
	if warnings := warned(e); len(warnings) > 0 {
		text += "; warnings: " + strings.Join(warnings, ", ")
	}
	if e.Kind == hotfolder.Failed {
		text += ";"
	}
	return text
}

// holdNothing is said of so many inks without ink.
func holdNothing(inks int) string {
	if inks == 1 {
		return ", which holds nothing"
	}
	return ", which hold nothing"
}

// chosenText is what a job is preset with, and by what rule, where it came so far.
func chosenText(c hotfolder.Chosen) string {
	if c.Press == "" {
		return ""
	}
	text := "; press " + c.Press
	if c.Curve != "" {
		text += ", curve " + c.Curve
	}
	if c.Paper != "" {
		text += ", paper " + c.Paper
	}
	text += ", sweep " + c.Sweep
	if c.Rule != "" {
		text += " by " + c.Rule
	}
	return text
}

// warned are the warnings in a word each; the preset has their sentences.
func warned(e hotfolder.Entry) (words []string) {
	for _, n := range e.Separated {
		words = append(words, n.Warnings...)
	}
	for _, w := range e.Warnings {
		words = append(words, strings.TrimSpace(w.Ink+" "+w.Code))
	}
	return slices.Compact(words)
}

// bytesText is a number of bytes in decimal units.
func bytesText(n float64) string {
	units := []string{"B", "kB", "MB", "GB"}
	for n >= 1000 && len(units) > 1 {
		n, units = n/1000, units[1:]
	}
	return fmt.Sprintf("%.3g %s", n, units[0])
}

// A loggedEntry is an entry for programs. What is not known, or says nothing of the
// entry's kind, is left out.
type loggedEntry struct {
	Time           time.Time `json:"time"`
	Kind           string    `json:"kind"`
	Job            string    `json:"job,omitempty"`
	Text           string    `json:"text,omitempty"`
	Out            string    `json:"out,omitempty"`
	Files          int       `json:"files,omitempty"`
	Bytes          int64     `json:"bytes,omitempty"`
	Seconds        float64   `json:"seconds,omitempty"`
	BytesPerSecond float64   `json:"bytes_per_second,omitempty"`
	Press          string    `json:"press,omitempty"`
	Curve          string    `json:"curve,omitempty"`
	Paper          string    `json:"paper,omitempty"`
	Sweep          string    `json:"sweep,omitempty"`
	Rule           string    `json:"rule,omitempty"`
	Missing        []string  `json:"missing,omitempty"`
	LeftOut        []string  `json:"left_out,omitempty"`
	Blank          []string  `json:"blank,omitempty"`
	Ghostscript    string    `json:"ghostscript,omitempty"` // version
	Warnings       []string  `json:"warnings,omitempty"`
}

func jsonLine(e hotfolder.Entry) []byte {
	l := loggedEntry{
		Time: e.Time, Kind: string(e.Kind), Job: e.Job, Text: e.Text, Out: e.Out, Files: e.Files, Bytes: e.Bytes,
		Seconds: e.Took.Seconds(), BytesPerSecond: e.BytesPerSecond(),
		Press: e.Chosen.Press, Curve: e.Chosen.Curve, Paper: e.Chosen.Paper, Sweep: e.Chosen.Sweep, Rule: e.Chosen.Rule,
		Missing: e.Missing, LeftOut: e.LeftOut, Blank: e.Blank,
	}
	for _, n := range e.Separated {
		l.Ghostscript = n.Version
		l.Warnings = append(l.Warnings, n.Warnings...)
	}
	for _, w := range e.Warnings {
		l.Warnings = append(l.Warnings, warningText(w))
	}
	var line bytes.Buffer
	text := json.NewEncoder(&line)
	text.SetEscapeHTML(false)
	if err := text.Encode(l); err != nil {
		panic(err) // texts and numbers are written
	}
	return line.Bytes()
}

// writeStatus writes a status, whole. Where it cannot be written that is said once:
// the presets matter more.
func (l *watchLog) writeStatus(path string, s hotfolder.Status) {
	err := job.WriteFiles([]job.File{{Path: path, Write: func(w io.Writer) error {
		text := json.NewEncoder(w)
		text.SetEscapeHTML(false)
		text.SetIndent("", "  ")
		return text.Encode(s)
	}}})
	said := ""
	if err != nil {
		said = err.Error()
	}
	if said != l.unstatus && err != nil {
		l.write(hotfolder.Entry{Time: s.Time, Kind: hotfolder.Noted, Text: said})
	}
	l.unstatus = said
}
