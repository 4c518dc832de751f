package job

import (
	"errors"
	"io"
	"io/fs"
	"os"

	"bladeline/zones/preset"
)

// LoadPreset reads a preset: CSV where the file's name ends so, else JSON.
func LoadPreset(path string) (*preset.Preset, error) {
	if FormatOf(path) == "cover" {
		return nil, &CoverageError{path}
	}
	read := preset.ReadJSON
	if FormatOf(path) == "csv" {
		read = preset.ReadCSV
	}
	var p *preset.Preset
	err := ReadFile(path, func(r io.Reader) (err error) {
		p, err = read(path, r)
		return err
	})
	return p, err
}

// LoadRun reads a preset or an OK file, of which rest says that keys that were not
// read ran as preset.
func LoadRun(path string, rest bool) (*preset.Preset, error) {
	p, err := LoadPreset(path)
	if err == nil && rest {
		p.RestAsPreset()
	}
	return p, err
}

// ReadFile has a file read that is no file of settings, and says in one line why
// it cannot be.
func ReadFile(path string, read func(io.Reader) error) error {
	file, err := openPatiently(path, os.O_RDONLY)
	if err != nil {
		return unread(path, err)
	}
	defer file.Close()
	err = read(file)
	if _, ok := errors.AsType[*fs.PathError](err); ok {
		err = unread(path, err)
	}
	return err
}
