package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onePage is PostScript of a page that a bar of black half covers.
const onePage = "%!PS\n<</PageSize [72 72]>> setpagedevice\n0 0 0 1 setcmykcolor 0 0 36 72 rectfill showpage\n"

// writePDF has Ghostscript write a PDF of PostScript.
func writePDF(t *testing.T, name, postscript string, args ...string) {
	c := exec.Command("gs", append(args, "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-o", name, "-")...)
	c.Stdin = strings.NewReader(postscript)
	out, err := c.CombinedOutput()
	require.NoError(t, err, string(out))
}

// hostileFolder makes files that are no job, or more than one.
func hostileFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	secret := filepath.Join(t.TempDir(), "secret.txt")
	require.NoError(t, os.WriteFile(secret, []byte("of somebody else"), 0o600))
	for name, text := range map[string]string{
		"one.ps":     onePage,
		"loop.ps":    "%!PS\n{} loop\n",
		"flood.ps":   "%!PS\n{(x) print} loop\n",
		"pages.ps":   "%!PS\n{showpage} loop\n",
		"stack.ps":   "%!PS\n/f {f f} def f\n",
		"memory.ps":  "%!PS\n[{16000000 string} loop\n",
		"reads.ps":   "%!PS\n(" + secret + ") (r) file pop showpage\n",
		"writes.ps":  "%!PS\n(written) (w) file closefile showpage\n",
		"shell.ps":   "%!PS\n(%pipe%touch written) (w) file closefile showpage\n",
		"output.ps":  "%!PS\n<</OutputFile (%pipe%touch written)>> setpagedevice showpage\n",
		"opens.ps":   "%!PS\n.setsafe (x) .forgetsave showpage\n",
		"error.ps":   "%!PS\nnoSuchOperator showpage\n",
		"none.ps":    "%!PS\n",
		"five.ps":    "%!PS\n<</PageSize [14173 14173]>> setpagedevice showpage\n",
		"empty.pdf":  "",
		"form.pdf":   "%PDF-1.7\n",
		"letter.txt": "Dear operator,\n",
	} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
	}
	writePDF(t, "two.pdf", onePage+"showpage\n")
	writePDF(t, "locked.pdf", onePage, "-sOwnerPassword=a", "-sUserPassword=b", "-dEncryptionR=3", "-dKeyLength=128")
	whole, err := os.ReadFile("two.pdf")
	require.NoError(t, err)
	for name, n := range map[string]int{"half.pdf": len(whole) / 2, "short.pdf": len(whole) - 40} {
		require.NoError(t, os.WriteFile(name, whole[:n], 0o666))
	}
	require.NoError(t, os.Mkdir("folder", 0o777))
}

// TestHostileJobs wants one line, soon, and nothing else: no file, nothing read or
// run that the file asks for.
func TestHostileJobs(t *testing.T) {
	hostileFolder(t)
	const anew = "; export it anew from the program that it came from"
	for _, c := range []struct{ line, want string }{
		{"--timeout 2s loop.ps", "loop.ps: is not separated after 2s; give it longer with --timeout, or a lower --dpi"},
		{"--timeout 2s flood.ps", "flood.ps: is not separated after 2s; …"},
		{"pages.ps", "pages.ps: has more than 10000 pages; take the form out of it"},
		{"stack.ps", "stack.ps: Ghostscript stops at an error in it (/…)" + anew},
		{"memory.ps", "memory.ps: takes more than 1000 MB of memory" + anew},
		{"reads.ps", "reads.ps: asks for another file, which it may not; have it exported with all that belongs to it inside"},
		{"writes.ps", "writes.ps: asks for another file, which it may not; …"},
		{"shell.ps", "shell.ps: asks for another file, which it may not; …"},
		{"output.ps", "output.ps: …; …"},
		{"opens.ps", "opens.ps: …; …"},
		{"error.ps", "error.ps: Ghostscript stops at an error in it (/undefined)" + anew},
		{"none.ps", "none.ps: has no page" + anew},
		{"five.ps", "five.ps: page 1 is 5000 x 5000 mm, at 600 dpi more than 10000 million px a plate; give a lower --dpi"},
		{"--contone --dpi 300 five.ps", "five.ps: page 1 is 5000 x 5000 mm, at 300 dpi more than 2000 million px a plate; give a lower --dpi"},
		{"empty.pdf", "empty.pdf: is neither PDF nor PostScript, or cannot be read; …"},
		{"letter.txt", "letter.txt: is neither PDF nor PostScript, or cannot be read; …"},
		{"form.pdf", "form.pdf: is damaged or cut short (Ghostscript: …)" + anew},
		{"half.pdf", "half.pdf: …" + anew},
		{"short.pdf", "short.pdf: is damaged or cut short (Ghostscript: …)" + anew},
		{"locked.pdf", "locked.pdf: is locked with a password; save it without one"},
		{"nothere.pdf", "nothere.pdf: there is no such file; check the name and the folder"},
		{"folder", "folder: is a folder; name the PDF in it"},
		{"--pages 2-3 two.pdf", "two.pdf: has no page 3, but 2; correct --pages"},
		{"-o letter.txt one.ps", "letter.txt: cannot be written: is there and no folder; …"},
		{"-o no/where one.ps", "no/where: cannot be written: …; …"},
	} {
		t.Run(c.line, func(t *testing.T) {
			refused(t, append([]string{"separate", "--timeout", "60s"}, strings.Fields(c.line)...), c.want)
		})
	}
	refused(t, []string{"preset", "--press", "two-colour", "-o", "x.csv", "two.pdf"}, "two.pdf: 2 pages are 2 forms, and a preset is of one; choose one, as --pages 1")
	refused(t, []string{"preset", "--press", "two-colour", "-o", "x.csv", "locked.pdf"}, "locked.pdf: is locked with a password; save it without one")
}

// TestNoGhostscript says what is missing, and how it is installed.
func TestNoGhostscript(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("one.ps", []byte(onePage), 0o666))
	bin := t.TempDir()
	t.Setenv("PATH", bin)
	for _, command := range []string{"separate", "measure"} {
		refused(t, []string{command, "one.ps"}, "one.ps: Ghostscript, which reads PDF and PostScript, is not in the path; install it: apt-get install ghostscript (…)…")
	}
	old := filepath.Join(bin, "gs")
	require.NoError(t, os.WriteFile(old, []byte("#!/bin/sh\necho 9.27\n"), 0o777))
	refused(t, []string{"separate", "one.ps"}, "one.ps: "+old+": Ghostscript 9.27 is too old, it must be 9.50 or newer; install it: …")
}

// TestPageRanges reads pages as people write them.
func TestPageRanges(t *testing.T) {
	for text, want := range map[string][][2]int{"": nil, "3": {{3, 3}}, "1-2,5": {{1, 2}, {5, 5}}} {
		ranges, err := pageRanges(text)
		require.NoError(t, err)
		assert.Equal(t, want, ranges)
	}
	for _, text := range []string{"0", "-1", "2-1", "a", "1,", "1-2-3", "1--2", " 1", "99999999999999999999"} {
		_, err := pageRanges(text)
		assert.ErrorContains(t, err, "--pages "+text+": ")
		assert.True(t, isUsage(err))
	}
}
