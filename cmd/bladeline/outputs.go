package main

import (
	"cmp"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/spf13/cobra"
)

// A format is one way to write a result.
type format func(io.Writer) error

// outputFlags are the flags that say where a result goes, and as what.
type outputFlags struct {
	format string
	files  []string
}

func (f *outputFlags) add(c *cobra.Command, endings string) {
	c.Flags().StringVar(&f.format, "format", "", "print as `FORMAT`: table, csv or json; the default is a table, or nothing with -o")
	c.Flags().StringArrayVarP(&f.files, "output", "o", nil, "write to `FILE`, as its ending says: "+endings+"; may be repeated")
}

// check refuses wrong flags before anything is read. endings are those of the
// files that the result can be written to.
func (f *outputFlags) check(endings, inputs []string) error {
	if f.format != "" && !slices.Contains([]string{"table", "csv", "json"}, f.format) {
		return usagef("--format %s: not known; give table, csv or json", f.format)
	}
	seen := map[string]bool{}
	for _, path := range f.files {
		ending := job.FormatOf(path)
		switch {
		case unformatted(path) && slices.Contains(endings, "csv"):
		case ending == "table" || !slices.Contains(endings, ending):
			return usagef("-o %s: the ending is not known here; use one of .%s", path, strings.Join(endings, " ."))
		case seen[filepath.Clean(path)]:
			return usagef("-o %s: is named twice; leave one out", path)
		}
		seen[filepath.Clean(path)] = true
		if err := job.NotAnInput(path, inputs); err != nil {
			return err
		}
	}
	return nil
}

// unformatted tells a device or its like whose name has no ending, as /dev/null and
// /dev/stdout: it takes what --format says.
func unformatted(path string) bool { return job.FormatOf(path) == "" && job.IsStream(path) }

// write writes the files, all of them or none, and prints the result.
func (f *outputFlags) write(c *cobra.Command, formats map[string]format) error {
	return f.writeSheets(c, formats, nil)
}

// writeSheets is write of a result that is also drawn: sheets are the files that
// a path that names no format is drawn to.
func (f *outputFlags) writeSheets(c *cobra.Command, formats map[string]format, sheets func(path string) ([]job.File, error)) error {
	var files []job.File
	for _, path := range f.files {
		if write := formats[f.formatFor(path)]; write != nil {
			files = append(files, job.File{Path: path, Write: write})
			continue
		}
		drawn, err := sheets(path)
		if err != nil {
			return err
		}
		files = append(files, drawn...)
	}
	if err := job.WriteFiles(files); err != nil {
		return err
	}
	return f.print(c, formats)
}

// wants tells whether the result is written or printed in one of some formats.
func (f *outputFlags) wants(formats ...string) bool {
	return slices.Contains(formats, f.format) || slices.ContainsFunc(f.files, func(path string) bool { return slices.Contains(formats, f.formatFor(path)) })
}

// formatFor is the format that a file is written in.
func (f *outputFlags) formatFor(path string) string {
	if unformatted(path) {
		return cmp.Or(f.format, "table")
	}
	return job.FormatOf(path)
}

// print prints the result, where it does not go to files alone.
func (f *outputFlags) print(c *cobra.Command, formats map[string]format) error {
	if len(f.files) > 0 && f.format == "" || slices.ContainsFunc(f.files, unformatted) {
		return nil
	}
	if err := formats[cmp.Or(f.format, "table")](c.OutOrStdout()); err != nil {
		return job.Unwritten("standard output", err)
	}
	return unprinted(c.OutOrStdout())
}

// A printer is standard output. It keeps the first error for the end of the run,
// as much that is printed, like help, is printed by others who drop errors.
type printer struct {
	to  io.Writer
	err error
}

func (p *printer) Write(b []byte) (int, error) {
	if p.err == nil {
		_, p.err = p.to.Write(b)
	}
	return len(b), nil
}

// unprinted is the error of standard output, where there was one.
func unprinted(w io.Writer) error {
	if p, is := w.(*printer); is && p.err != nil {
		return job.Unwritten("standard output", p.err)
	}
	return nil
}
