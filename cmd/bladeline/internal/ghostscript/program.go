package ghostscript

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// A Program is the Ghostscript that is installed.
type Program struct {
	Version string // as 10.00.0
	path    string
}

// names are what it is called on Unix and on Windows.
var names = []string{"gs", "gswin64c", "gswin32c"}

// oldest is the first version whose -dSAFER keeps a file from reading others.
const oldest = 9.50

// Find looks for Ghostscript in the path, and asks its version. An error is a
// *MissingError, or why ctx ended.
func Find(ctx context.Context) (*Program, error) {
	for _, name := range names {
		path, err := exec.LookPath(name)
		if err != nil {
			continue
		}
		patient, stop := context.WithTimeout(ctx, 30*time.Second)
		defer stop()
		said, err := exec.CommandContext(patient, path, "--version").Output()
		if err := context.Cause(ctx); err != nil {
			return nil, err
		}
		p := &Program{Version: strings.TrimSpace(string(said)), path: path}
		if err != nil || !p.recent() {
			return nil, &MissingError{Path: path, Version: p.Version}
		}
		return p, nil
	}
	return nil, &MissingError{}
}

// Path is where it was found.
func (p *Program) Path() string { return p.path }

func (p *Program) recent() bool {
	parts := strings.SplitN(p.Version, ".", 3)
	if len(parts) < 2 {
		return false
	}
	version, err := strconv.ParseFloat(parts[0]+"."+parts[1], 64)
	return err == nil && version >= oldest
}

// maxMemoryKB bounds what a file may take. Pages are drawn in bands: a sheet of
// 1020 x 720 mm at 300 dpi takes 40 MB, and room for 60 spot inks 3 of these.
const maxMemoryKB = 1_000_000

// safely are the arguments of every run. Ghostscript would go on behind an error
// in a PDF, and leave out what it did not understand.
var safely = []string{
	"-dSAFER", "-dBATCH", "-dNOPAUSE", "-dNOPROMPT", "-dPDFSTOPONERROR", "-dEPSCrop",
	"-K" + strconv.Itoa(maxMemoryKB),
}

// environment is what Ghostscript gets of this program's: not GS_OPTIONS, which
// could undo safely. Its temporary files go into folder.
func environment(folder string) []string {
	var kept []string
	for _, e := range os.Environ() {
		name, _, _ := strings.Cut(e, "=")
		switch strings.ToUpper(name) {
		case "GS_OPTIONS", "GS_DEVICE", "TMPDIR", "TEMP", "TMP":
		default:
			kept = append(kept, e)
		}
	}
	return append(kept, "TMPDIR="+folder, "TEMP="+folder, "TMP="+folder)
}

// run runs Ghostscript on a file, its working directory folder, until ctx ends. It
// tells each what it says, line by line. No process of it is left.
func (p *Program) run(ctx context.Context, folder, file string, args []string, each func(line string)) error {
	path, err := filepath.Abs(file)
	if err != nil {
		return err
	}
	if folder, err = filepath.Abs(folder); err != nil { // as TMPDIR, it is not seen from here
		return err
	}
	c := exec.CommandContext(ctx, p.path, slices.Concat(safely, args, []string{"-f", path})...)
	c.Dir, c.Env = folder, environment(folder)
	out := &lines{each: each}
	c.Stdout, c.Stderr = out, out
	c.WaitDelay = 5 * time.Second
	err = runAlone(c)
	out.flush()
	if cause := context.Cause(ctx); cause != nil {
		return cause
	}
	return err
}
