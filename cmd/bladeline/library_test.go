package main

import (
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestErrorsKeepTheirCause: errors.Is finds why a file was not read.
func TestErrorsKeepTheirCause(t *testing.T) {
	badFolder(t)
	for what, err := range map[string]error{
		"preset": func() error { _, err := loadPreset("nothere.json"); return err }(),
		"press":  func() error { _, _, err := loadPress("nothere.press.toml"); return err }(),
		"named":  func() error { _, _, err := loadPress("nothere"); return err }(),
		"curve":  func() error { _, err := loadCurve("./nothere"); return err }(),
		"beside": func() error { _, err := settingsFile{name: "six.press.toml"}.beside("nothere.toml"); return err }(),
		"points": func() error { _, err := readPoints("nothere.csv"); return err }(),
	} {
		assert.ErrorIs(t, err, os.ErrNotExist, what)
		assert.False(t, errors.Is(err, os.ErrPermission), what)
	}
}
