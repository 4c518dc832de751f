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

// A module is one whose packages are in the program.
type module struct {
	Path, Dir string
	Main      bool
	packages  []string // folders of those that are
}

// modulesOf are those whose packages are in a target's program, in their order.
func modulesOf(t target) ([]module, error) {
	listed, err := output(t.environment(), "go", "list", "-deps", "-json=Dir,Module", "./cmd/bladeline")
	if err != nil {
		return nil, err
	}
	var modules []module
	for d := json.NewDecoder(bytes.NewReader(listed)); ; {
		var p struct {
			Dir    string
			Module *module
		}
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		if p.Module == nil || p.Module.Main { // Go's own, or ours
			continue
		}
		i := slices.IndexFunc(modules, func(m module) bool { return m.Path == p.Module.Path })
		if i < 0 {
			modules, i = append(modules, *p.Module), len(modules)
		}
		modules[i].packages = append(modules[i].packages, p.Dir)
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

// licencesIn are those at the top of a module, in the folders of its packages that are
// in the program and between, and what it keeps for third parties.
func licencesIn(m module) ([]entry, error) {
	var entries []entry
	for _, folder := range m.folders() {
		files, err := os.ReadDir(folder)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			if f.IsDir() || !licenceFile.MatchString(f.Name()) && !thirdParties.MatchString(filepath.Base(folder)) {
				continue
			}
			file := filepath.Join(folder, f.Name())
			data, err := os.ReadFile(file)
			if err != nil {
				return nil, err
			}
			name := strings.TrimPrefix(filepath.ToSlash(file), filepath.ToSlash(m.Dir))
			entries = append(entries, entry{name: path.Join("licences", m.Path, name), data: data})
		}
	}
	if len(entries) == 0 {
		return nil, fmt.Errorf("module %s: has no file of its licence; find out what it is", m.Path)
	}
	return entries, nil
}

// thirdParties is what folders are called that hold the licences of code that a module
// took from others.
var thirdParties = regexp.MustCompile(`(?i)^third[-_ ]?party[-_ ]?licen[cs]es$`)

// folders are where a module may have licences, each once.
func (m *module) folders() []string {
	folders := []string{m.Dir}
	if entries, err := os.ReadDir(m.Dir); err == nil {
		for _, e := range entries {
			if e.IsDir() && thirdParties.MatchString(e.Name()) {
				folders = append(folders, filepath.Join(m.Dir, e.Name()))
			}
		}
	}
	for _, folder := range m.packages {
		for ; len(folder) > len(m.Dir); folder = filepath.Dir(folder) {
			if !slices.Contains(folders, folder) {
				folders = append(folders, folder)
			}
		}
	}
	return folders
}
