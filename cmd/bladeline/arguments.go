package main

import (
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"

	"github.com/spf13/cobra"
)

// inputsOf are the files that the arguments name, and their inks.
func inputsOf(args []string) (inputs []coverage.Input, err error) {
	for _, arg := range args {
		inks, path := splitInks(arg)
		if path == "" || slices.Contains(inks, "") {
			return nil, usagef("%q: an ink's or file's name is empty; give INK=FILE or INK,INK=FILE", arg)
		}
		if slices.ContainsFunc(inks, tooLong) {
			return nil, usagef("%s: an ink's name of more than %d letters is too long; shorten it", path, maxName)
		}
		if path == "-" {
			return nil, usagef("-: separations are not read from standard input; name a file")
		}
		inputs = append(inputs, coverage.Input{Path: path, Inks: inks})
	}
	return inputs, nil
}

// matched gives a command the files that patterns among its arguments match, where
// the shell did not.
func matched(do func(*cobra.Command, []string) error) func(*cobra.Command, []string) error {
	return func(c *cobra.Command, args []string) error {
		var all []string
		for _, arg := range args {
			found := []string{arg}
			if inks, _ := splitInks(arg); inks == nil {
				var err error
				if found, err = job.Matched(arg); err != nil {
					return err
				}
			}
			all = append(all, found...)
		}
		return do(c, all)
	}
}

// maxName is as long as the name of an ink may be, in letters.
const maxName = 200

func tooLong(name string) bool { return utf8.RuneCountInString(name) > maxName }

// splitInks takes INK=FILE or INK,INK=FILE apart. A file whose name has an equals
// sign is itself.
func splitInks(arg string) (inks []string, path string) {
	if _, err := os.Stat(arg); err == nil {
		return nil, arg
	}
	names, path, named := strings.Cut(arg, "=")
	if !named {
		return nil, arg
	}
	return strings.Split(names, ","), path
}

// paths are the files that the arguments name.
func paths(args []string) []string {
	var paths []string
	for _, arg := range args {
		_, path := splitInks(arg)
		paths = append(paths, path)
	}
	return paths
}

// mayHavePages tells whether --pages says anything of a file. Of one that is not there
// something else is to be said.
func mayHavePages(path string) bool {
	_, err := os.Stat(path)
	return err != nil || ghostscript.IsJob(path)
}
