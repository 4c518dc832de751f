package main

import (
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

var shells = []string{"bash", "zsh", "fish", "powershell"}

func newCompletion() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Write what lets a shell complete commands, flags, presses, curves and inks",
		Long: `completion writes a script for a shell: bash, zsh, fish or powershell. With it the tab
key completes commands and flags, presses and curves, inks, papers and units, and
files of the kind that is wanted.

In bash, the package bash-completion must be installed.`,
		Example: `  bladeline completion bash > ~/.local/share/bash-completion/completions/bladeline
  bladeline completion zsh > "${fpath[1]}/_bladeline"
  bladeline completion fish > ~/.config/fish/completions/bladeline.fish
  bladeline completion powershell >> $PROFILE`,
		Args:      exactly(1, "one shell: "+strings.Join(shells, ", ")),
		ValidArgs: shells,
		RunE: func(c *cobra.Command, args []string) error {
			root, out := c.Root(), c.OutOrStdout()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(out, true)
			case "zsh":
				return root.GenZshCompletion(out)
			case "fish":
				return root.GenFishCompletion(out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(out)
			}
			return usagef("%s: not a shell that is known; give one of %s", args[0], strings.Join(shells, ", "))
		},
	}
}

// complete gives every argument and flag, of a command and of those in it, what a
// shell may complete, by the stand-in that help shows for it.
func complete(c *cobra.Command) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		standIn, _ := pflag.UnquoteUsage(f)
		values := candidates(standIn)
		switch {
		case f.Value.Type() == "bool", standIn == "FILE":
			return
		case values == nil: // a number, or a name
			values = cobra.NoFileCompletions
		}
		c.RegisterFlagCompletionFunc(f.Name, values) // fails only where it is there
	})
	if words := strings.Fields(c.Use); len(words) > 1 && c.ValidArgs == nil {
		c.ValidArgsFunction = candidates(strings.TrimSuffix(strings.Trim(words[1], "[]"), "..."))
	}
	for _, child := range c.Commands() {
		complete(child)
	}
}

// candidates finds what may stand for a stand-in; nil is not known, or any file.
func candidates(standIn string) cobra.CompletionFunc {
	of, perInk := strings.CutPrefix(standIn, "[INK=]")
	if strings.Contains(standIn, "INK=]FILE") {
		return ofEndings("tif", "tiff", "png", "pdf", "ps", "eps", "cover", "toml")
	}
	if values := valuesOf[of]; values != nil {
		return named(values, perInk)
	}
	switch {
	case of == "FOLDER":
		return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return nil, cobra.ShellCompDirectiveFilterDirs
		}
	case strings.HasPrefix(of, "PRESET"), of == "A", of == "LAST":
		return ofEndings("csv", "json")
	case strings.HasSuffix(of, ".csv"):
		return ofEndings("csv")
	case strings.HasSuffix(of, ".toml"):
		return ofEndings("toml")
	case strings.HasSuffix(of, ".pdf"):
		return ofEndings("pdf", "ps", "eps")
	}
	return nil
}

// ofEndings are files of these endings.
func ofEndings(endings ...string) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return endings, cobra.ShellCompDirectiveFilterFileExt
	}
}

// valuesOf are the values that may stand for a stand-in.
var valuesOf = map[string]func(c *cobra.Command, args []string) []string{
	"PRESS":  func(*cobra.Command, []string) []string { return job.Shipped(job.PressKind) },
	"CURVE":  func(*cobra.Command, []string) []string { return job.Shipped(job.CurveKind) },
	"INK":    inksOf,
	"SWEEP":  always("auto"),
	"STOCK":  papersOf,
	"UNIT":   unitsOf,
	"EDGE":   always("bottom", "top", "left", "right"),
	"SHADE":  always("dark", "light"),
	"SIDE":   always("left", "right"),
	"SHAPE":  always("smooth", "straight"),
	"SIZE":   always(pageSizes...),
	"FORMAT": always("table", "csv", "json"),
	"KINDS":  always("csv,json,pdf", "csv", "json", "pdf", "svg"),
}

func always(values ...string) func(*cobra.Command, []string) []string {
	return func(*cobra.Command, []string) []string { return values }
}

// named completes values; presses and curves may also be files, and what is for one
// ink has its name before it.
func named(values func(*cobra.Command, []string) []string, perInk bool) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		ink, _, given := strings.Cut(typed, "=")
		var all []string
		for _, v := range values(c, args) {
			if perInk && given {
				v = ink + "=" + v
			}
			all = append(all, v)
		}
		if !perInk || given {
			return all, cobra.ShellCompDirectiveDefault
		}
		for _, known := range inksOf(c, args) {
			all = append(all, known+"=")
		}
		return all, cobra.ShellCompDirectiveNoSpace
	}
}

// inksOf are the inks that the names of the files at hand say, or else the process
// inks.
func inksOf(_ *cobra.Command, args []string) []string {
	var inks []string
	for _, arg := range args {
		if _, ink := coverage.NameParts(arg); ink != "" && !slices.Contains(inks, ink) {
			inks = append(inks, ink)
		}
	}
	if len(inks) == 0 {
		return ghostscript.ProcessInks
	}
	return inks
}

// papersOf and unitsOf are what the file of the press names that is given.
func papersOf(c *cobra.Command, args []string) []string {
	press, _, err := job.LoadPress(pressGiven(c, args))
	if err != nil {
		return nil
	}
	return press.Papers()
}

func unitsOf(c *cobra.Command, args []string) []string {
	press, _, err := job.LoadPress(pressGiven(c, args))
	if err != nil {
		return nil
	}
	return press.UnitNames()
}

// pressGiven is the press of --press, or of a command that takes it as its argument.
func pressGiven(c *cobra.Command, args []string) string {
	if f := c.Flag("press"); f != nil {
		return f.Value.String()
	}
	if len(args) > 0 {
		return args[0]
	}
	return ""
}
