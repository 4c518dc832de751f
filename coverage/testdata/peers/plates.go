package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
)

// A plate is a file that the generator makes when asked with args.
type plate struct {
	title, file string
	sizeMB      int // about, rounded up
	args        string
}

// Plates of one bit are 97200 by 75600 px, the generator's own size.
const (
	gray = "-bits 8 -width 12000 -height 9000 -rows-per-strip 64 "
	cmyk = "-samples 4 " + gray
)

var plates = []plate{
	{"Group 4, 256-row strips", "g4-256.tif", 111, "-compression g4"},
	{"Group 4, one strip", "g4-one.tif", 111, "-compression g4 -rows-per-strip 0"},
	{"LZW, 256-row strips", "lzw.tif", 158, "-compression lzw"},
	{"LZW, one strip", "lzw-one.tif", 158, "-compression lzw -rows-per-strip 0"},
	{"Deflate, 256-row strips", "deflate.tif", 47, "-compression deflate"},
	{"Deflate, one strip", "deflate-one.tif", 47, "-compression deflate -rows-per-strip 0"},
	{"PackBits", "packbits.tif", 411, "-compression packbits"},
	{"uncompressed", "none.tif", 919, "-compression none"},
	{"PNG, 1 bit", "plate.png", 47, "-format png"},
	{"8-bit gray, uncompressed", "gray8-none.tif", 109, gray + "-compression none"},
	{"8-bit gray, LZW", "gray8-lzw.tif", 35, gray + "-compression lzw"},
	{"8-bit gray, Deflate", "gray8-deflate.tif", 34, gray + "-compression deflate"},
	{"8-bit gray, PackBits", "gray8-packbits.tif", 40, gray + "-compression packbits"},
	{"PNG, 8-bit gray", "gray8.png", 19, gray + "-format png"},
	{"8-bit CMYK, uncompressed", "cmyk8-none.tif", 433, cmyk + "-compression none"},
	{"8-bit CMYK, LZW", "cmyk8-lzw.tif", 164, cmyk + "-compression lzw"},
	{"8-bit CMYK, Deflate", "cmyk8-deflate.tif", 141, cmyk + "-compression deflate"},
}

// parts are the upper third and two thirds of the first plate.
var parts = []plate{
	{"Group 4, a third", "g4-third.tif", 44, "-compression g4 -height 25200"},
	{"Group 4, two thirds", "g4-two-thirds.tif", 83, "-compression g4 -height 50400"},
}

// makePlates makes the rows' plates that are not in the folder yet, or without
// their facts.
func (t tools) makePlates(dir string, rows []row) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	wanted, sizeMB := lacking(dir, rows)
	if err := checkSpace(dir, sizeMB); err != nil {
		return err
	}
	for _, p := range wanted {
		fmt.Fprintf(os.Stderr, "making %s\n", filepath.Join(dir, p.file))
		if err := t.makePlate(dir, p); err != nil {
			return err
		}
	}
	return nil
}

func lacking(dir string, rows []row) (wanted []plate, sizeMB int) {
	seen := map[string]bool{}
	for _, r := range rows {
		path := filepath.Join(dir, r.plate.file)
		if seen[r.plate.file] || exists(path) && exists(factsPath(path)) {
			continue
		}
		seen[r.plate.file] = true
		wanted = append(wanted, r.plate)
		sizeMB += r.plate.sizeMB
	}
	return wanted, sizeMB
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

func checkSpace(dir string, neededMB int) error {
	var fs syscall.Statfs_t
	if err := syscall.Statfs(dir, &fs); err != nil {
		return fmt.Errorf("%s: its free space cannot be told: %w", dir, err)
	}
	freeMB := fs.Bavail * uint64(fs.Bsize) / 1e6
	if freeMB < uint64(neededMB) {
		return fmt.Errorf("%s: %d MB are free and the plates need %d; free some, or name another folder with -plates", dir, freeMB, neededMB)
	}
	return nil
}

// makePlate makes the plate under another name first, so that one half made is
// never taken for whole.
func (t tools) makePlate(dir string, p plate) error {
	path := filepath.Join(dir, p.file)
	defer os.Remove(path + ".part")
	args := append(strings.Fields(p.args), "-o", path+".part")
	out, err := exec.Command(t.path("plate"), args...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: cannot be made: %w: %s", path, err, out)
	}
	if err := os.WriteFile(factsPath(path), out, 0o666); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}
