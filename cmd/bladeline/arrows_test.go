package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "bladeline"

// below says which packages of the project a package may import. Data flow one
// way, from rasters through coverage and zones to the command; an import
// against that way is a mistake.
var below = map[string][]string{
	"cmd/bladeline": {
		"cmd/bladeline/internal/job", "cmd/bladeline/internal/page", "cmd/bladeline/internal/hotfolder", "cmd/bladeline/internal/doctor", "cmd/bladeline/internal/ghostscript",
		"zones/sheet", "zones/testform", "zones/preset/history", "zones/preset/rehearsal", "zones/preset/rollerchart", "zones/preset", "zones", "zones/press", "coverage", "curves", "curves/learn", "curves/ink", "curves/rollers", "curves/settings", "examples",
	},
	"cmd/bladeline/internal/doctor":       {"cmd/bladeline/internal/job", "cmd/bladeline/internal/ghostscript", "zones/preset", "zones", "coverage", "coverage/bilevel"},
	"cmd/bladeline/internal/ghostscript":  {},
	"cmd/bladeline/internal/hotfolder":    {"cmd/bladeline/internal/job", "zones/preset", "zones", "coverage", "curves/settings"},
	"cmd/bladeline/internal/job":          {"cmd/bladeline/internal/ghostscript", "zones/sheet", "zones/testform", "zones/preset/history", "zones/preset/rehearsal", "zones/preset/rollerchart", "zones/preset", "zones", "zones/press", "coverage", "coverage/bilevel", "curves", "curves/learn", "curves/ink", "curves/rollers", "curves/settings", "examples"},
	"cmd/bladeline/internal/page":         {"cmd/bladeline/internal/job", "cmd/bladeline/internal/ghostscript", "zones/sheet", "zones/preset/rehearsal", "zones/preset/rollerchart", "zones/preset", "zones", "zones/press", "coverage", "curves", "curves/learn", "curves/ink", "curves/rollers", "curves/settings", "examples"},
	"zones/sheet":                         {"zones/preset/history", "zones/preset/rehearsal", "zones/preset/rollerchart", "zones/preset", "zones", "zones/press", "coverage", "curves", "curves/rollers", "curves/settings"},
	"zones/testform":                      {"zones/press", "coverage/bilevel", "curves/settings"},
	"zones/preset/rollerchart":            {"zones/preset", "zones/press", "curves/rollers", "curves/settings"},
	"zones/preset/rehearsal":              {"zones/preset/rollerchart", "zones/preset", "zones", "zones/press", "curves", "curves/ink", "curves/rollers", "curves/settings"},
	"zones/preset/history":                {"zones/preset", "zones/press", "curves", "curves/settings"},
	"zones/preset":                        {"zones", "zones/press", "coverage", "curves", "curves/learn", "curves/ink", "curves/rollers", "curves/settings"},
	"zones":                               {"zones/press", "coverage", "curves/settings"},
	"zones/press":                         {"curves", "curves/rollers", "curves/settings"},
	"zones/zonestest":                     {"zones/press", "coverage", "curves", "examples"},
	"coverage":                            {"coverage/internal/raster", "coverage/internal/raster/tiff", "coverage/internal/raster/png"},
	"coverage/internal/raster/tiff":       {"coverage/internal/raster", "coverage/internal/raster/inflate", "coverage/internal/raster/tiff/ccitt"},
	"coverage/internal/raster/png":        {"coverage/internal/raster", "coverage/internal/raster/inflate"},
	"coverage/internal/raster/inflate":    {},
	"coverage/internal/raster":            {},
	"coverage/internal/raster/tiff/ccitt": {},
	"coverage/internal/raster/fax":        {},
	"coverage/bilevel":                    {"coverage/internal/raster/fax"},
	"coverage/internal/raster/rastertest": {"coverage/internal/raster/fax"},
	"coverage/coveragetest":               {"coverage/internal/raster/rastertest"},
	"curves":                              {"curves/settings"},
	"curves/learn":                        {"curves", "curves/settings"},
	"curves/rollers":                      {"curves", "curves/settings"},
	"curves/ink":                          {"curves/settings"},
	"curves/settings":                     {},
	"examples":                            {},
}

// A goPackage is what go list says of a package.
type goPackage struct {
	ImportPath string
	Imports    []string
}

// upward lists the project's imports that are not allowed. Those of test files
// are not among them: tests alone may import rastertest, coveragetest and zonestest.
func upward(packages []goPackage) []string {
	var wrong []string
	for _, p := range packages {
		name, ours := strings.CutPrefix(p.ImportPath, module+"/")
		if !ours {
			continue
		}
		allowed, known := below[name]
		if !known {
			wrong = append(wrong, name+" has no place in the order")
		}
		for _, i := range p.Imports {
			i, ours := strings.CutPrefix(i, module+"/")
			if ours && !slices.Contains(allowed, i) {
				wrong = append(wrong, name+" imports "+i)
			}
		}
	}
	return wrong
}

// absent lists what has a place in the order and is no package.
func absent(packages []goPackage) []string {
	var missing []string
	for name, allowed := range below {
		for _, named := range append(slices.Clip(allowed), name) {
			is := func(p goPackage) bool { return p.ImportPath == module+"/"+named }
			if !slices.ContainsFunc(packages, is) {
				missing = append(missing, named)
			}
		}
	}
	return missing
}

func TestImportsPointDown(t *testing.T) {
	list := exec.Command("go", "list", "-deps", "-json=ImportPath,Imports", "./...")
	list.Dir = "../.."
	out, err := list.Output()
	require.NoError(t, err)
	var packages []goPackage
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p goPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
		packages = append(packages, p)
	}
	assert.Empty(t, upward(packages))
	assert.Empty(t, absent(packages))
}

func TestUpwardImportsAreFound(t *testing.T) {
	for _, p := range []struct{ from, to, want string }{
		{"coverage", "zones", "coverage imports zones"},
		{"curves", "zones", "curves imports zones"},
		{"curves/settings", "curves", "curves/settings imports curves"},
		{"curves", "curves/learn", "curves imports curves/learn"},
		{"coverage/internal/raster", "coverage/internal/raster/png", "coverage/internal/raster imports coverage/internal/raster/png"},
		{"coverage", "coverage/internal/raster/tiff/ccitt", "coverage imports coverage/internal/raster/tiff/ccitt"},
		{"zones", "cmd/bladeline", "zones imports cmd/bladeline"},
		{"zones/press", "zones", "zones/press imports zones"},
		{"zones", "zones/preset", "zones imports zones/preset"},
		{"coverage", "coverage/internal/raster/rastertest", "coverage imports coverage/internal/raster/rastertest"},
	} {
		assert.Equal(t, []string{p.want}, upward([]goPackage{{module + "/" + p.from, []string{module + "/" + p.to}}}))
	}
	assert.Equal(t, []string{"colour has no place in the order"}, upward([]goPackage{{module + "/colour", nil}}))
	assert.Empty(t, upward([]goPackage{{module + "/zones", []string{"fmt", module + "/zones/press", module + "/coverage"}}}))
	assert.Contains(t, absent([]goPackage{{module + "/curves", nil}}), "zones")
	assert.NotContains(t, absent([]goPackage{{module + "/curves", nil}}), "curves")
	assert.Empty(t, upward([]goPackage{{"example.org/else", []string{module + "/zones"}}}), "only the project's own")
}
