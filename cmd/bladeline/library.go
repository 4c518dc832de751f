package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"bladeline/curves"
	"bladeline/examples"
	"bladeline/zones/press"
)

// Endings of the files that ship inside the program.
const (
	pressEnding = ".press.toml"
	curveEnding = ".curve.toml"
)

// A settingsFile is a press or curve file, from the disk or from inside the
// program.
type settingsFile struct {
	name    string // as it is named in errors
	data    []byte
	shipped bool
}

// load finds a file by what a user calls it: a path, or the bare name of one
// that ships inside the program.
func load(called, ending, what string) (settingsFile, error) {
	if called == "" {
		return settingsFile{}, usagef("the name of a %s is empty; name a file, or one of these: %s", what, strings.Join(shipped(ending), ", "))
	}
	if data, err := readSettings(called); err == nil {
		return settingsFile{name: called, data: data}, nil
	} else if strings.ContainsAny(called, `/\.`) {
		return settingsFile{}, unread(called, err)
	}
	data, err := examples.Files.ReadFile(called + ending)
	if err != nil {
		return settingsFile{}, &inputError{fmt.Sprintf("%s: is no %s; name a file, or one of these: %s", called, what, strings.Join(shipped(ending), ", ")), err}
	}
	return settingsFile{name: called, data: data, shipped: true}, nil
}

// beside loads a file that another one names, relative to that.
func (s settingsFile) beside(name string) (settingsFile, error) {
	if s.shipped {
		data, err := examples.Files.ReadFile(path.Clean(name))
		return settingsFile{name: strings.TrimSuffix(name, curveEnding), data: data, shipped: true}, err
	}
	if !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(s.name), name)
	}
	data, err := readSettings(name)
	if err != nil {
		return settingsFile{}, fmt.Errorf("%s names a curve: %w", s.name, unread(name, err))
	}
	return settingsFile{name: name, data: data}, nil
}

// maxSettings is more than a file of settings is taken for, and bounds what a
// plate that is named as one by mistake costs.
const maxSettings = 2 << 20

func readSettings(name string) ([]byte, error) {
	file, err := openPatiently(name, os.O_RDONLY)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, maxSettings))
}

// An inputError is the line that a file's error is told in.
type inputError struct {
	line  string
	cause error
}

func (e *inputError) Error() string { return e.line }
func (e *inputError) Unwrap() error { return e.cause }

func unread(name string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &inputError{name + ": there is no such file; check the name and the folder", err}
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		err = errNobody()
	}
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		err = p.Err
	}
	return fmt.Errorf("%s: cannot be read: %w; name the file itself, one that you may read", name, err)
}

// shipped lists the bare names of the files inside the program.
func shipped(ending string) []string {
	files, err := fs.Glob(examples.Files, "*"+ending)
	if err != nil {
		panic(err) // the pattern is ours
	}
	for i, f := range files {
		files[i] = strings.TrimSuffix(f, ending)
	}
	return files
}

// loadPress finds and reads a press.
func loadPress(called string) (*press.Press, settingsFile, error) {
	file, err := load(called, pressEnding, "press")
	if err != nil {
		return nil, file, err
	}
	press, err := press.Parse(file.name, file.data)
	return press, file, err
}

// loadCurve finds and reads a curve.
func loadCurve(called string) (*curves.Curve, error) {
	file, err := load(called, curveEnding, "curve")
	if err != nil {
		return nil, err
	}
	return curves.ParseCurve(file.name, file.data)
}
