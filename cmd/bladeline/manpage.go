package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// writeManPage writes the page of a command in the man macros of roff, as man(7)
// describes them.
func writeManPage(w io.Writer, c *cobra.Command, day string) error {
	b := bufio.NewWriter(w)
	c.InitDefaultHelpFlag()
	fmt.Fprintf(b, ".TH %s 1 %s bladeline \"User commands\"\n", roff(strings.ToUpper(manName(c))), day)
	fmt.Fprintf(b, ".SH NAME\n%s \\- %s\n", roff(manName(c)), roff(c.Short))
	fmt.Fprintf(b, ".SH SYNOPSIS\n.B %s\n", roff(c.CommandPath()))
	if rest := strings.TrimPrefix(c.UseLine(), c.CommandPath()); rest != "" {
		fmt.Fprintln(b, roff(strings.TrimSpace(rest)))
	}
	text := c.Long
	if text == "" {
		text = c.Short + "."
	}
	fmt.Fprintln(b, ".SH DESCRIPTION")
	writeRoffText(b, text)
	writeOptions(b, c)
	if c.Example != "" {
		fmt.Fprintln(b, ".SH EXAMPLES")
		writeAsItIs(b, c.Example)
	}
	if pages := seeAlso(c); len(pages) > 0 {
		fmt.Fprintf(b, ".SH SEE ALSO\n%s\n", strings.Join(pages, ",\n"))
	}
	return b.Flush()
}

// writeRoffText writes paragraphs. What is set in columns stays so.
func writeRoffText(w io.Writer, text string) {
	for block := range strings.SplitSeq(strings.Trim(text, "\n"), "\n\n") {
		if strings.HasPrefix(block, " ") || strings.Contains(block, "\n ") {
			writeAsItIs(w, block)
			continue
		}
		fmt.Fprintf(w, ".PP\n%s\n", roffLines(block))
	}
}

// writeAsItIs writes lines that are not to be filled.
func writeAsItIs(w io.Writer, text string) {
	fmt.Fprintf(w, ".PP\n.nf\n%s\n.fi\n", roffLines(text))
}

func writeOptions(w io.Writer, c *cobra.Command) {
	fmt.Fprintln(w, ".SH OPTIONS")
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		standIn, usage := pflag.UnquoteUsage(f)
		fmt.Fprintf(w, ".TP\n.BR \"%s\" \" %s\"\n%s\n", roff(name), roff(standIn), roffLines(usage+byDefault(f)))
	})
}

// byDefault is what help says of a flag's default, where there is one to be named.
func byDefault(f *pflag.Flag) string {
	switch f.DefValue {
	case "", "0", "0s", "false", "[]":
		return ""
	}
	return fmt.Sprintf(" (default %s)", f.DefValue)
}

// seeAlso are the pages of the command above and of those below.
func seeAlso(c *cobra.Command) []string {
	var pages []string
	page := func(c *cobra.Command) { pages = append(pages, fmt.Sprintf(".BR %s (1)", roff(manName(c)))) }
	if c.HasParent() {
		page(c.Parent())
	}
	for _, child := range c.Commands() {
		if child.IsAvailableCommand() {
			page(child)
		}
	}
	return pages
}

// roff is a text whose signs mean nothing to roff.
func roff(s string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`, `"`, `\(dq`).Replace(s)
}

// roffLines are lines of which none is taken for a request.
func roffLines(text string) string {
	var lines []string
	for line := range strings.Lines(text) {
		line = roff(strings.TrimRight(line, "\n"))
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			line = `\&` + line
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}
