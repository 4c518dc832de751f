// Bladeline presets the ink keys of an offset press from the separations of a
// form. This package is its command line: it reads arguments, calls the
// packages that do the work, and writes what they return. Each command has a
// file of its own.
package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"

	"github.com/spf13/cobra"
)

// Exit statuses.
const (
	statusDone     = 0
	statusFailed   = 1
	statusUsage    = 2
	statusWarnings = 3
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run runs one command line and returns its exit status.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	out := &printer{to: stdout}
	root.SetOut(out)
	root.SetErr(stderr)
	err := guarded(root.Execute)
	if err == nil || errors.Is(err, errWarnings) {
		err = cmp.Or(unprinted(out), err)
	}
	if err == nil {
		return statusDone
	}
	if errors.Is(err, errWarnings) {
		return statusWarnings
	}
	sayError(stderr, err)
	if isUsage(err) {
		return statusUsage
	}
	return statusFailed
}

// sayError prints an error as one line, with what to do about it.
func sayError(stderr io.Writer, err error) {
	fmt.Fprintf(stderr, "bladeline: %s\n", shortened(settings.Escaped(cures.Cured(err).Error())))
}

// say prints a line of what there is to know.
func say(c *cobra.Command, text string) {
	fmt.Fprintln(c.ErrOrStderr(), "bladeline:", settings.Printable(text))
}

// guarded makes an error of a panic, which is a mistake of this program's. Files
// that are being read have guards of their own, which name them.
func guarded(do func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			coverage.ShowStack(v)
			err = fmt.Errorf("the program failed (%v); please report this, with the files that were named", v)
		}
	}()
	return do()
}

// errWarnings ends a command that is done, but not without warnings, under
// --strict.
var errWarnings = errors.New("there were warnings")

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "bladeline",
		Short: "Preset the ink keys of an offset press from the separations of a form",
		Long: `bladeline reads the separations of a printing form, measures how much of each
ink-key zone carries image, and says where to set every key of the ink
fountain and how far to sweep, before the plates go to press.

A key is local: it feeds more or less ink to its own zone. The sweep is global:
it feeds more or less to all zones at once.

Exit status: 0 done, 1 refused or failed, 2 wrong usage, 3 done with warnings
under --strict; form check ends with 3 also where it finds anything refused.
Results go to standard output, everything else to standard error.`,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetVersionTemplate("{{.Version}}\n")
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(newHelp())
	root.AddCommand(group(newPress()), group(newCurve()), newMeasure(), newPreset(), newRehearse(), newCorrect(), newSheet(), newEstimate(), newCompare(), newChange(), newHistory(), newSeparate(), newOK(), newReprint(), group(newForm()), newTestForm(), newWatch(), newServe(), newDoctor(), newCompletion(), group(newDocs()))
	guardUsage(group(root))
	complete(root)
	return root
}

// group makes a command that only holds others: it says what they are.
func group(c *cobra.Command) *cobra.Command {
	c.DisableFlagsInUseLine = true
	c.Args = func(c *cobra.Command, args []string) error {
		if len(args) > 0 {
			return fmt.Errorf("%s: not a command of %s", args[0], c.CommandPath())
		}
		return nil
	}
	c.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
	return c
}

func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Show the help of a command",
		RunE: func(c *cobra.Command, args []string) error {
			found, rest, err := c.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return usagef("help: %s is not a command; see bladeline --help", strings.Join(args, " "))
			}
			return found.Help()
		},
	}
}

// mostLetters is what is shown of a message: more than any path takes, and less
// than an argument or a file's key may have.
const mostLetters = 5000

// shortened takes letters out of the middle of a message that is too long: where
// it begins it names a file, and it ends with what to do.
func shortened(s string) string {
	letters := []rune(s)
	if len(letters) <= mostLetters {
		return s
	}
	return string(letters[:mostLetters/2]) + " … " + string(letters[len(letters)-mostLetters/2:])
}

const cautions = `Cautions: a preset is a starting point; the operator's eye and densitometer
decide. Nips and fountain rollers catch hands and cloths: before touching keys,
stop the press and make it safe as its manual and local rules say. Never screw
a key hard against the fountain roller.`
