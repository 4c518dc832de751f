package main

import (
	"io"
	"path/filepath"
	"strings"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/spf13/cobra"
)

func newDocs() *cobra.Command {
	c := &cobra.Command{
		Use:   "docs",
		Short: "Write what --help says as files",
	}
	c.AddCommand(&cobra.Command{
		Use:   "man FOLDER",
		Short: "Write man pages, one a command",
		Long: `man writes a page a command into a folder, which is made where it is missing:
bladeline.1, bladeline-preset.1 and so on. They say what --help says.

Where SOURCE_DATE_EPOCH is set, in seconds since 1970, the pages are of that day.`,
		Example: `  bladeline docs man ~/.local/share/man/man1`,
		Args:    exactly(1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if args[0] == "" {
				return usagef("the name of the folder is empty; give one")
			}
			return writeManPages(c.Root(), args[0])
		},
	})
	return c
}

// writeManPages writes the pages of a command and of those in it, all or none.
func writeManPages(root *cobra.Command, folder string) error {
	day, err := job.Today()
	if err != nil {
		return usageError{err}
	}
	var files []job.File
	for _, c := range withChildren(root) {
		path := filepath.Join(folder, manName(c)+".1")
		files = append(files, job.File{Path: path, Write: func(w io.Writer) error { return writeManPage(w, c, day) }})
	}
	remove, err := job.NewFolder(folder)
	if err != nil {
		return err
	}
	if err := job.WriteFiles(files); err != nil {
		remove()
		return err
	}
	return nil
}

// withChildren are a command and those in it that help shows.
func withChildren(c *cobra.Command) []*cobra.Command {
	all := []*cobra.Command{c}
	for _, child := range c.Commands() {
		if child.IsAvailableCommand() {
			all = append(all, withChildren(child)...)
		}
	}
	return all
}

// manName is what the page of a command is called.
func manName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }
