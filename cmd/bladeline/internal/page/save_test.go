package page

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/zones/preset"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// saveAs wants a file.
func (c *client) saveAs(as string, state State) answered {
	c.t.Helper()
	a := c.send("/api/save?unit=0&as="+as, state)
	require.Equal(c.t, http.StatusOK, a.status, string(a.body))
	return a
}

// TestSavedReadsBack reads what is saved with the readers of the commands, and
// finds what the page showed.
func TestSavedReadsBack(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	shown := sent[computed](c, "/api/preset", state).Preset
	a := c.saveAs("json", state)
	fromJSON, err := preset.ReadJSON("test.json", bytes.NewReader(a.body))
	require.NoError(t, err)
	assert.Equal(t, shown, fromJSON)
	a = c.saveAs("csv", state)
	assert.Equal(t, "text/csv; charset=utf-8", a.header.Get("Content-Type"))
	assert.Equal(t, `attachment; filename="test.csv"; filename*=UTF-8''test.csv`, a.header.Get("Content-Disposition"))
	fromCSV, err := preset.ReadCSV("test.csv", bytes.NewReader(a.body))
	require.NoError(t, err)
	require.NotNil(t, shown)
	require.Len(t, shown.Units, 1)
	require.Len(t, fromCSV.Units, 1)
	assert.Equal(t, shown.Units[0].Keys, fromCSV.Units[0].Keys)
	a = c.saveAs("pdf", state)
	assert.Equal(t, "application/pdf", a.header.Get("Content-Type"))
	assert.True(t, bytes.HasPrefix(a.body, []byte("%PDF-")))
	again := c.saveAs("pdf", state)
	assert.Equal(t, a.body, again.body, "the same bytes every time")
}

// TestSavedCurve reads an edited curve back.
func TestSavedCurve(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	state.Units[0].Curve = curve{Name: `A "name"`, Shape: curves.Smooth, ReferenceSweep: new(50.0), Note: "as\nedited", Points: [][]float64{{0, 1.5}, {40, 30}, {100, 90}}}
	a := c.saveAs("curve", state)
	assert.Contains(t, a.header.Get("Content-Disposition"), `filename="A _name_.curve.toml"`)
	read, err := curves.ParseCurve("saved.curve.toml", a.body)
	require.NoError(t, err)
	assert.Equal(t, state.Units[0].Curve, curveJSON(read))
}

// TestLearnedCurveSaysItWasEdited keeps what a curve was learned from, and
// marks it once its points are others.
func TestLearnedCurveSaysItWasEdited(t *testing.T) {
	o := testOptions(t)
	learned := *o.Curves[0]
	learned.Learned = &curves.Provenance{From: "Start", FromShape: curves.Straight, FromPoints: learned.Points, Runs: []string{"a"}, Readings: 3, ReadingPct: 1}
	o.Presses[0].Curve, o.Curves = &learned, nil
	o.Maps = append(o.Maps, mapOf(t, "Black", half))
	c := newClient(t, o)
	state := decoded[startJSON](t, c.fetch("/api/start")).State
	require.Len(t, state.Units, 1)
	require.NotNil(t, state.Units[0].Curve.Learned)
	for _, change := range []struct {
		points [][]float64
		edited bool
	}{{state.Units[0].Curve.Points, false}, {[][]float64{{0, 1}, {100, 100}}, true}} {
		state.Units[0].Curve.Points = change.points
		read, err := curves.ParseCurve("saved", c.saveAs("curve", state).body)
		require.NoError(t, err)
		require.NotNil(t, read.Learned)
		assert.Equal(t, change.edited, read.Learned.Edited)
		assert.Equal(t, []string{"a"}, read.Learned.Runs)
	}
	state.Units[0].Curve.Learned.Runs = []string{"two\nlines"}
	refusedWith(t, 422, c.send("/api/save?as=curve&unit=0", state))
}

// TestWorksheetIsTheCommands saves a worksheet from the page and has one drawn of the
// preset that the page saves: they are the same bytes.
func TestWorksheetIsTheCommands(t *testing.T) {
	c := newClient(t, options(t, harbourFair()[0]))
	state := decoded[startJSON](t, c.fetch("/api/start")).State
	a := c.saveAs("worksheet", state)
	assert.Contains(t, a.header.Get("Content-Disposition"), `filename="harbour-fair, worksheet.pdf"`)
	folder := t.TempDir()
	saved, drawn := filepath.Join(folder, "fair.json"), filepath.Join(folder, "fair.pdf")
	require.NoError(t, os.WriteFile(saved, c.saveAs("json", state).body, 0o600))
	plate, err := os.ReadFile(harbourFair()[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, filepath.Base(harbourFair()[0])), plate, 0o600))
	_, err = job.DrawSheets(t.Context(), job.SheetTicket{Preset: saved, Press: "two-colour", Worksheet: true, Outputs: []string{drawn}})
	require.NoError(t, err)
	want, err := os.ReadFile(drawn)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(want, a.body), "%d and %d bytes", len(want), len(a.body))
}

func TestRefusedSaves(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	for _, query := range []string{"", "?as=exe", "?as=../../x", "?as=curve", "?as=curve&unit=1", "?as=curve&unit=-1", "?as=curve&unit=9999999999999999999", "?as=curve&unit=x"} {
		refusedWith(t, 422, c.send("/api/save"+query, state))
	}
	state.Press.Zones, state.Press.ZoneWidthMM = new(100), new(10.0)
	wide := refusedWith(t, 422, c.send("/api/save?as=pdf", state))
	assert.Contains(t, wide.Error, "do not fit a sheet")
	c.saveAs("csv", state)
}

// TestSlashesPartNoFolders saves a job and a curve whose names hold a slash: what stands
// before it stays.
func TestSlashesPartNoFolders(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	state.Job, state.Units[0].Curve.Name = "2024/117 Fair", `art\gloss`
	for as, name := range map[string]string{"csv": "2024_117 Fair.csv", "worksheet": "2024_117 Fair, worksheet.pdf", "curve": "art_gloss.curve.toml"} {
		assert.Contains(t, c.saveAs(as, state).header.Get("Content-Disposition"), `filename="`+name+`"`)
	}
}

// TestUnnamedJobIsNamedByItsFiles does as the command does without --job.
func TestUnnamedJobIsNamedByItsFiles(t *testing.T) {
	c := newClient(t, testOptions(t))
	b := decoded[brought](t, c.upload([3]string{"file", "fair ü_C.png", rasterOf(half)}, [3]string{"file", "fair ü_K.png", rasterOf(half)}))
	state := stateOf(t, b.Separations...)
	state.Job = ""
	assert.Equal(t, "fair ü", sent[computed](c, "/api/preset", state).Preset.Job)
	assert.Equal(t, `attachment; filename="fair _.csv"; filename*=UTF-8''fair%20%C3%BC.csv`, c.saveAs("csv", state).header.Get("Content-Disposition"))
}
