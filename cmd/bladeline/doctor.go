package main

import (
	"errors"
	"io"
	"os"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/doctor"
	"bladeline/cmd/bladeline/internal/ghostscript"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

func newDoctor() *cobra.Command {
	var out outputFlags
	c := &cobra.Command{
		Use:   "doctor",
		Short: "Say what is found on this machine, and what each missing thing costs",
		Long: `doctor says what it finds on this machine of what bladeline uses, and below each
thing that is missing what that costs and what to do. It presets a small plate of
known coverage: where that goes wrong the exit status is 1.`,
		Example: `  bladeline doctor
  bladeline doctor --format json`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return examine(c, out.format) },
	}
	c.Flags().StringVar(&out.format, "format", "table", "print as `FORMAT`: table or json")
	return c
}

func examine(c *cobra.Command, as string) error {
	if as != "table" && as != "json" {
		return usagef("--format %s: not known; give table or json", as)
	}
	findings := append([]doctor.Finding{{Thing: "program", Found: strings.ReplaceAll(version(), "\n", ", ")}}, doctor.Examine(c.Context())...)
	findings = append(findings, terminal(c))
	for i, f := range findings {
		if f.Thing == doctor.Ghostscript && f.Cost != "" {
			findings[i].Cost += "; " + cures[ghostscript.CodeMissing](nil)
		}
	}
	write := writeMachine
	if as == "json" {
		write = doctor.WriteJSON
	}
	if err := write(c.OutOrStdout(), findings); err != nil {
		return err
	}
	if slices.ContainsFunc(findings, func(f doctor.Finding) bool { return f.Broken }) {
		return errors.New("the main job does not work on this machine; see above")
	}
	return nil
}

// terminal tells whether progress is shown.
func terminal(c *cobra.Command) doctor.Finding {
	f := doctor.Finding{Thing: "terminal", Found: "standard error is one, and shows progress"}
	if file, is := c.ErrOrStderr().(*os.File); !is || !term.IsTerminal(int(file.Fd())) {
		f.Found = "standard error is not a terminal, so progress is not shown"
	}
	return f
}

func writeMachine(w io.Writer, findings []doctor.Finding) error {
	t := &table{align: "ll"}
	for _, f := range findings {
		t.row(f.Thing, f.Found)
		if f.Cost != "" {
			t.row("", f.Cost)
		}
	}
	return t.write(w)
}
