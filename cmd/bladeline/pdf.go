package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"

	"github.com/spf13/cobra"
)

// pdfFlags are the flags of commands that make separations of a PDF.
type pdfFlags struct {
	pages   string
	timeout time.Duration

	onePage bool // refuse more
	notes   []job.Note
}

func (f *pdfFlags) add(c *cobra.Command, pages string) {
	c.Flags().StringVar(&f.pages, "pages", "", pages)
	f.addTime(c)
}

func (f *pdfFlags) addTime(c *cobra.Command) {
	c.Flags().DurationVar(&f.timeout, "timeout", job.SeparationTime, "give up where a PDF takes longer than `TIME` to separate, as 90s or 20m")
}

// separating is what the flags ask for.
func (f *pdfFlags) separating(dpiX, dpiY float64) (*job.Separating, error) {
	ranges, err := pageRanges(f.pages)
	if err != nil {
		return nil, err
	}
	if f.timeout <= 0 {
		return nil, usagef("--timeout %v: is no time to separate anything; give one as 90s or 20m", f.timeout)
	}
	return &job.Separating{
		Ranges: ranges, DPIX: dpiX, DPIY: dpiY, Time: f.timeout, OnePage: f.onePage,
		Note: func(n job.Note) { f.notes = append(f.notes, n) },
	}, nil
}

// show says of every PDF what it was separated with, and prints the warnings.
func (f *pdfFlags) show(c *cobra.Command) (warned bool) {
	for _, n := range f.notes {
		at := settings.Plain(n.DPIX)
		if n.DPIX != n.DPIY {
			at += "x" + settings.Plain(n.DPIY)
		}
		how := "1 bit, screened"
		if n.Contone {
			how = "8 bits, unscreened"
		}
		fmt.Fprintf(c.ErrOrStderr(), "bladeline: %s: separated by Ghostscript %s, %s dpi, %s\n", settings.Printable(n.File), n.Version, at, how)
		for _, w := range n.Warnings {
			fmt.Fprintf(c.ErrOrStderr(), "bladeline: warning: %s\n", settings.Printable(n.File+": "+w))
			warned = true
		}
	}
	f.notes = nil
	return warned
}

// pageRanges reads pages as 1-2,5. No text is no range.
func pageRanges(text string) ([][2]int, error) {
	if text == "" {
		return nil, nil
	}
	var ranges [][2]int
	for part := range strings.SplitSeq(text, ",") {
		first, last, both := strings.Cut(part, "-")
		if !both {
			last = first
		}
		from, err := strconv.Atoi(first)
		to, err2 := strconv.Atoi(last)
		if err != nil || err2 != nil || from < 1 || to < from {
			return nil, usagef("--pages %s: %q is no page; give numbers and ranges, as 1 or 1-2,5", text, part)
		}
		ranges = append(ranges, [2]int{from, to})
	}
	return ranges, nil
}
