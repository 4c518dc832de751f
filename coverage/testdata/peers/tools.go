package main

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
)

// tools is a folder of the programs built for this run.
type tools struct{ dir string }

func (t tools) path(name string) string { return filepath.Join(t.dir, name) }

// build builds bladeline, the generator of plates and the C programs.
func (t tools) build() error {
	const here = "coverage/testdata/"
	for _, command := range [][]string{
		{"go", "build", "-o", t.path("bladeline"), "./cmd/bladeline"},
		{"go", "build", "-o", t.path("plate"), "./" + here + "plate"},
		{"gcc", "-O3", "-march=native", "-o", t.path("tiffcount"), here + "peers/tiffcount.c", "-ltiff"},
		{"gcc", "-O3", "-march=native", "-o", t.path("pngcount"), here + "peers/pngcount.c", "-lpng"},
	} {
		if out, err := exec.Command(command[0], command[1:]...).CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w: %s", strings.Join(command, " "), err, out)
		}
	}
	return nil
}
