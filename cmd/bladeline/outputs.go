package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

// A form is one way to write a result.
type form func(io.Writer) error

// outputFlags are the flags that say where a result goes, and as what.
type outputFlags struct {
	format string
	files  []string

	several map[string]func(path string) []outputFile // of endings whose result may be more than one file
}

func (f *outputFlags) add(c *cobra.Command, endings string) {
	c.Flags().StringVar(&f.format, "format", "", "print as `FORM`: table, csv or json; the default is a table, or nothing with -o")
	c.Flags().StringArrayVarP(&f.files, "output", "o", nil, "write to `FILE`, as its ending says: "+endings+"; may be repeated")
}

// check refuses wrong flags before anything is read. forms are by ending, and
// "table" among them.
func (f *outputFlags) check(forms []string, inputs []string) error {
	if f.format != "" && !slices.Contains([]string{"table", "csv", "json"}, f.format) {
		return usagef("--format %s: is not known; say table, csv or json", f.format)
	}
	seen := map[string]bool{}
	for _, path := range f.files {
		ending := formOf(path)
		switch {
		case formless(path) && slices.Contains(forms, "csv"):
		case ending == "table" || !slices.Contains(forms, ending):
			return usagef("-o %s: the ending is not known here; use one of .%s", path, strings.Join(forms, " ."))
		case seen[filepath.Clean(path)]:
			return usagef("-o %s: is named twice; leave one out", path)
		}
		seen[filepath.Clean(path)] = true
		if err := notAnInput(path, inputs); err != nil {
			return err
		}
	}
	return nil
}

// formOf is the form that a file's ending names.
func formOf(path string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
}

// formless tells a device or its like whose name has no ending, as /dev/null and
// /dev/stdout: it takes what --format says.
func formless(path string) bool { return formOf(path) == "" && isStream(path) }

// notAnInput refuses to write over what is to be read.
func notAnInput(path string, inputs []string) error {
	out, err := os.Stat(path)
	if err != nil || !out.Mode().IsRegular() {
		return nil
	}
	for _, input := range inputs {
		if in, err := os.Stat(input); err == nil && os.SameFile(in, out) {
			return fmt.Errorf("%s: is read and would be overwritten; name another file", path)
		}
	}
	return nil
}

// write writes the files, all of them or none, and prints the result.
func (f *outputFlags) write(c *cobra.Command, forms map[string]form) error {
	var files []outputFile
	format := f.format
	for _, path := range f.files {
		if formless(path) {
			files = append(files, outputFile{path, forms[cmp.Or(f.format, "table")]})
			format = "" // it has gone there
			continue
		}
		if several, is := f.several[formOf(path)]; is {
			files = append(files, several(path)...)
			continue
		}
		files = append(files, outputFile{path, forms[formOf(path)]})
	}
	if err := writeFiles(files); err != nil {
		return err
	}
	if format == "" {
		if len(f.files) > 0 {
			return nil
		}
		format = "table"
	}
	if err := forms[format](c.OutOrStdout()); err != nil {
		return unwritten("standard output", err)
	}
	return unprinted(c.OutOrStdout())
}
