package job

import (
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestErrorsKeepTheirCause: errors.Is finds why a file was not read.
func TestErrorsKeepTheirCause(t *testing.T) {
	t.Chdir(t.TempDir())
	for what, err := range map[string]error{
		"preset": func() error { _, err := LoadPreset("nothere.json"); return err }(),
		"press":  func() error { _, _, err := LoadPress("nothere.press.toml"); return err }(),
		"named":  func() error { _, _, err := LoadPress("nothere"); return err }(),
		"curve":  func() error { _, err := LoadCurve("./nothere"); return err }(),
		"beside": func() error { _, err := Settings{Name: "six.press.toml"}.Beside("nothere.toml"); return err }(),
		"table":  ReadFile("nothere.csv", nil),
	} {
		assert.ErrorIs(t, err, os.ErrNotExist, what)
		assert.False(t, errors.Is(err, os.ErrPermission), what)
	}
}
