package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/natefinch/atomic"
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

// notAnInput refuses to write over what is to be read.
func notAnInput(path string, inputs []string) error {
	out, err := os.Stat(path)
	if err != nil {
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
	for _, path := range f.files {
		if several, is := f.several[formOf(path)]; is {
			files = append(files, several(path)...)
			continue
		}
		files = append(files, outputFile{path, forms[formOf(path)]})
	}
	if err := writeFiles(files); err != nil {
		return err
	}
	format := f.format
	if format == "" {
		if len(f.files) > 0 {
			return nil
		}
		format = "table"
	}
	if err := forms[format](c.OutOrStdout()); err != nil {
		return unwritten("standard output", err)
	}
	return nil
}

type outputFile struct {
	path  string
	write form
}

// writeFiles makes files appear whole or not at all: each is written beside
// its place and forced to disk, and only when all are there do they take their
// places. The temporary file is a sibling, as a rename works only within one
// file system. Of a symbolic link the file behind it is written, and the link
// stays.
func writeFiles(files []outputFile) error {
	var written []string
	defer func() {
		for _, temporary := range written {
			os.Remove(temporary)
		}
	}()
	files = slices.Clone(files)
	for i := range files {
		files[i].path = behindLinks(files[i].path)
	}
	for _, f := range files {
		temporary, err := writeBeside(f)
		if temporary != "" {
			written = append(written, temporary)
		}
		if err != nil {
			return unwritten(f.path, err)
		}
	}
	for i, f := range files {
		if err := atomic.ReplaceFile(written[i], f.path); err != nil {
			return unwritten(f.path, err)
		}
	}
	return nil
}

// behindLinks is the file that a path stands for; of none that is there, the
// path itself.
func behindLinks(path string) string {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		return target
	}
	return path
}

func writeBeside(f outputFile) (temporary string, err error) {
	if info, err := os.Stat(f.path); err == nil && info.IsDir() {
		return "", errors.New("is a folder")
	}
	file, err := os.CreateTemp(filepath.Dir(f.path), ".bladeline-*")
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if err := f.write(file); err != nil {
		return file.Name(), err
	}
	if err := file.Chmod(mode(f.path)); err != nil {
		return file.Name(), err
	}
	return file.Name(), file.Sync()
}

// mode is that of the file to be replaced, or that of any new file.
func mode(path string) fs.FileMode {
	if info, err := os.Stat(path); err == nil {
		return info.Mode().Perm()
	}
	return 0o644
}

func unwritten(path string, err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		err = p.Err
	}
	return fmt.Errorf("%s: cannot be written: %w; choose another place or free this one", path, err)
}
