package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// A module is what go list says of one whose packages are in the program.
type module struct {
	Path, Version, Dir string
	Main               bool
}

// modulesOf are those whose packages are in a target's program, in their order.
func modulesOf(t target) ([]module, error) {
	listed, err := output(t.environment(), "go", "list", "-deps", "-json=Module", "./cmd/bladeline")
	if err != nil {
		return nil, err
	}
	var modules []module
	for d := json.NewDecoder(bytes.NewReader(listed)); ; {
		var p struct{ Module *module }
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		if m := p.Module; m != nil && !m.Main && !slices.Contains(modules, *m) {
			modules = append(modules, *m)
		}
	}
	slices.SortFunc(modules, func(a, b module) int { return strings.Compare(a.Path, b.Path) })
	return modules, nil
}

// licenceFile is what modules call the texts that must go with their programs.
var licenceFile = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents|copyright)([-_.].*)?$`)

// licencesOf are the licences and notices of every module in a target's program, and
// of Go, whose runtime and library are in it. A module without any is refused.
func licencesOf(t target) ([]entry, error) {
	modules, err := modulesOf(t)
	if err != nil {
		return nil, err
	}
	root, err := output(t.environment(), "go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	modules = append(modules, module{Path: "go", Dir: strings.TrimSpace(string(root))})
	var entries []entry
	for _, m := range modules {
		of, err := licencesIn(m)
		if err != nil {
			return nil, err
		}
		entries = append(entries, of...)
	}
	return entries, nil
}

// licencesIn are those at the top of a module, and where its packages have their own.
func licencesIn(m module) ([]entry, error) {
	files, err := os.ReadDir(m.Dir)
	if err != nil {
		return nil, err
	}
	var entries []entry
	for _, f := range files {
		if f.IsDir() || !licenceFile.MatchString(f.Name()) {
			continue
		}
		data, err := os.ReadFile(filepath.Join(m.Dir, f.Name()))
		if err != nil {
			return nil, err
		}
		entries = append(entries, entry{name: path.Join("licences", m.Path, f.Name()), data: data})
	}
	if len(entries) == 0 {
		return nil, fmt.Errorf("module %s: has no file of its licence; find out what it is", m.Path)
	}
	return entries, nil
}
