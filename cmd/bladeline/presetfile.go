package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"bladeline/zones/preset"
)

// loadPreset reads a preset, CSV or JSON as the file's ending says.
func loadPreset(path string) (*preset.Preset, error) {
	read := preset.ReadJSON
	if formOf(path) == "csv" {
		read = preset.ReadCSV
	}
	var p *preset.Preset
	err := readFile(path, func(r io.Reader) (err error) {
		p, err = read(path, r)
		return err
	})
	return p, err
}

// readFile reads a file that is none of settings.
func readFile(path string, read func(io.Reader) error) error {
	file, err := openPatiently(path, os.O_RDONLY)
	if err != nil {
		return unread(path, err)
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return fmt.Errorf("%s: is a folder; name a file in it", path)
	}
	err = read(file)
	if _, ok := errors.AsType[*fs.PathError](err); ok {
		err = unread(path, err)
	}
	return err
}
