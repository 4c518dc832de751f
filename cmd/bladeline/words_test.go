package main

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"testing"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCodesHaveWords holds that the command line knows what to do about all that
// has a code.
func TestCodesHaveWords(t *testing.T) {
	codes := slices.Concat(coverage.Codes, zones.Codes, preset.Codes, sheet.Codes, job.Codes, ghostscript.Codes)
	for _, code := range codes {
		assert.Contains(t, cures, code)
	}
	assert.Len(t, cures, len(codes), "and about nothing else")
}

// TestCuresWriteInksAsFilesDo has what the words tell to write read back as a
// press's file: the table is then of that very ink.
func TestCuresWriteInksAsFilesDo(t *testing.T) {
	bare, err := os.ReadFile("../../examples/duplicator.press.toml")
	require.NoError(t, err)
	for _, ink := range []string{"Black", `Harbour "Red"`, `back\slash\u0041`, "bell\a\x7f\u0085", "a.b # c]", "'quoted'", "Grün 深红 🎨"} {
		said := settings.Printable(unstated(&job.UnstatedError{Ink: ink}, "--target")) // as run prints it
		table := regexp.MustCompile(`^add it under (\[inks\..*\]), or give --target$`).FindStringSubmatch(said)
		require.NotNil(t, table, "%q", said)
		p, err := press.Parse("hall.press.toml", fmt.Appendf(bare, "\n%s\ntarget_density = 1.5\n", table[1]))
		require.NoError(t, err, "%q", table[1])
		known, is := p.Ink(ink)
		assert.True(t, is, "%q", ink)
		assert.Equal(t, 1.5, known.TargetDensity)
	}
}

// TestPresetHelpNamesEveryWarning: README says that preset --help says what each
// warning means.
func TestPresetHelpNamesEveryWarning(t *testing.T) {
	help := newPreset().Long
	for _, code := range []string{
		preset.CodeLow, preset.CodeHigh, preset.CodeCeiling, preset.CodeFloor, preset.CodeNeighbours, preset.CodeSpill, preset.CodeUneven,
		preset.CodeEmpty, preset.CodeScale, zones.CodeBeyond, zones.CodeLength, zones.CodeOutside, zones.CodeBeyondSheet, zones.CodeMissing,
		coverage.CodePolarity, job.CodePaper,
	} {
		assert.Regexp(t, `(?m)^  `+code+` +\w`, help)
	}
}
