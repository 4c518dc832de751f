package job

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// harbourFair is a ticket for two separations of the shipped form, laid on a
// press that ships, in an empty working directory.
func harbourFair(t *testing.T) Ticket {
	examples, err := filepath.Abs("../../../../examples")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	return Ticket{
		Reading: Reading{Inputs: []coverage.Input{
			{Path: filepath.Join(examples, "harbour-fair_C.tif")},
			{Path: filepath.Join(examples, "harbour-fair(Black).tif")},
		}},
		Press:      "two-colour",
		Placement:  zones.Placement{LeadEdge: zones.Bottom},
		TakeOffPct: preset.ByKeys,
	}
}

// TestRun goes from files to files, as a folder that is watched would.
func TestRun(t *testing.T) {
	ticket := harbourFair(t)
	sweep := 40.0
	ticket.Sweeps = []Choice[*float64]{{Ink: "black", Value: &sweep}}
	ticket.Curves = []Choice[string]{{Value: "uncoated"}, {Ink: "Black", Value: "coated"}}
	ticket.Outputs = []Output{
		{Path: "a.csv"},
		{Path: "a.json"},
		{Path: "a.pdf"},
		{Path: "a.svg"},
		{Path: "a.txt", Write: func(w io.Writer, p *preset.Preset) error { _, err := io.WriteString(w, p.Job); return err }},
	}
	done := 0.0
	ticket.Progress = func(is float64) { done = max(done, is) }
	p, err := Run(t.Context(), ticket)
	require.NoError(t, err)
	assert.Equal(t, 1.0, done)
	assert.Equal(t, "harbour-fair", p.Job)
	require.Len(t, p.Units, 2)
	assert.Equal(t, "Uncoated, starting value", *p.Units[1].Curve, "cyan is a pass later in the same unit")
	assert.Equal(t, "Coated, starting value", *p.Units[0].Curve)
	assert.Equal(t, sweep, p.Units[0].Sweep)
	assert.NotEmpty(t, p.Warnings)
	for _, name := range []string{"a.json", "a.csv"} {
		read, err := LoadPreset(name)
		require.NoError(t, err, name)
		assert.Equal(t, p.Units[1].Keys, read.Units[1].Keys, name)
	}
	files := regularFiles(t)
	assert.Len(t, files, 6, "an SVG for each ink")
	assert.Equal(t, "harbour-fair", files["a.txt"])
	assert.True(t, strings.HasPrefix(files["a.pdf"], "%PDF-"))
	assert.Contains(t, files, "a-Black.svg")
	assert.Contains(t, files, "a-Cyan.svg")
}

// TestRunIsStopped: a run whose context ends while it reads gives the cause, and
// writes nothing.
func TestRunIsStopped(t *testing.T) {
	ticket := harbourFair(t)
	ticket.Outputs = []Output{{Path: "a.csv"}}
	ctx, stop := context.WithCancelCause(t.Context())
	ended := errors.New("the folder is watched no longer")
	ticket.Progress = func(float64) { stop(ended) }
	_, err := Run(ctx, ticket)
	assert.ErrorIs(t, err, ended)
	assert.Empty(t, regularFiles(t))
}

// TestRunRefuses: what is asked and cannot be done is an error of no front end's
// words, and nothing is written.
func TestRunRefuses(t *testing.T) {
	ticket := harbourFair(t)
	ticket.Outputs = []Output{{Path: "a.csv"}}
	require.NoError(t, os.WriteFile("bare.press.toml", bare(t), 0o600))
	sweep := 40.0
	for _, c := range []struct {
		code, says string
		change     func(*Ticket)
	}{
		{CodeUnknownInk, `no separation is of the ink "Sand"`, func(t *Ticket) { t.Curves = []Choice[string]{{"Black", "coated"}, {"Sand", "coated"}} }},
		{CodeAskedTwice, "another is given for the same ink", func(t *Ticket) { t.Sweeps = []Choice[*float64]{{"Black", nil}, {"BLACK", &sweep}} }},
		{CodeNoCurve, "bare.press.toml: names no curve for Cyan", func(t *Ticket) { t.Press = "bare.press.toml" }},
	} {
		changed := ticket
		c.change(&changed)
		_, err := Run(t.Context(), changed)
		require.EqualError(t, err, c.says)
		coded, is := errors.AsType[interface {
			error
			Code() string
		}](err)
		require.True(t, is, c.code)
		assert.Equal(t, c.code, coded.Code())
		assert.NotContains(t, regularFiles(t), "a.csv")
	}
	var choice *ChoiceError
	ticket.Curves = []Choice[string]{{"Black", "coated"}, {"Sand", "coated"}}
	_, err := Run(t.Context(), ticket)
	require.ErrorAs(t, err, &choice)
	assert.Equal(t, []any{OfCurve, 1, "Sand"}, []any{choice.Of, choice.Index, choice.Ink})
}

// TestRunKeepsItsInputs: nothing that is read is written over, and what the
// ending of a file names no form for is refused; both before anything is read.
func TestRunKeepsItsInputs(t *testing.T) {
	ticket := harbourFair(t)
	ticket.Progress = func(float64) { t.Error("it was read") }
	plate, err := os.ReadFile(ticket.Inputs[0].Path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("plate.csv", plate, 0o600))
	ticket.Inputs[0].Path = "plate.csv"
	ticket.Outputs = []Output{{Path: "a.csv"}, {Path: "./plate.csv"}}
	_, err = Run(t.Context(), ticket)
	assert.EqualError(t, err, "./plate.csv: is read and would be overwritten; name another file")
	ticket.Outputs = []Output{{Path: "a.csv"}, {Path: "a.xls"}}
	_, err = Run(t.Context(), ticket)
	assert.EqualError(t, err, "a.xls: the ending is not known here; use one of .csv .json .pdf .svg")
	assert.Equal(t, map[string]string{"plate.csv": string(plate)}, regularFiles(t))
}

// bare is a press's file that names no curve.
func bare(t *testing.T) []byte {
	_, file, err := LoadPress("two-colour")
	require.NoError(t, err)
	text, _, found := strings.Cut(string(file.Data), "[curves]")
	require.True(t, found)
	return []byte(text)
}
