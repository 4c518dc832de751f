package page

import (
	"bytes"
	"image"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mapOf is a plate measured as an ink.
func mapOf(t testing.TB, ink string, shapes ...shape) *coverage.Map {
	data := rasterOf(shapes...)
	maps, err := measured(t.Context(), "plate.png", strings.NewReader(data), int64(len(data)), coverage.Options{Inks: []string{ink}})
	require.NoError(t, err)
	return maps[0]
}

// ownTemp has temporary files written where nothing else does, and at the end
// wants none left.
func ownTemp(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	t.Cleanup(func() {
		left, err := os.ReadDir(dir)
		require.NoError(t, err)
		assert.Empty(t, left, "temporary files")
	})
}

// TestOtherKindsAreToldWhatThePageTakes brings what is no separation: the page reads more
// than rasters, and says so.
func TestOtherKindsAreToldWhatThePageTakes(t *testing.T) {
	c := newClient(t, testOptions(t))
	for name, says := range map[string]string{
		"noise.pdf":  "This is no PDF, though its name says so; export it again.",
		"letter.tif": "This is neither TIFF nor PNG nor saved coverage; export separations as TIFF or PNG.",
		"setup.yaml": "The page does not read files of this kind; bring separations as TIFF, PNG, PDF or PostScript, form files, curves, press files, presets, OK files or class lists.",
	} {
		a := c.upload([3]string{"file", name, "press: hall\n"})
		require.Equal(t, 422, a.status)
		assert.Equal(t, []fileError{{File: name, Error: says}}, decoded[brought](t, a).Errors)
	}
}

// TestUploadEqualsMeasure brings files of the demonstration job and measures
// them by their paths.
func TestUploadEqualsMeasure(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	for _, name := range []string{"harbour-fair_C.tif", "harbour-fair_Y.png", "harbour-fair.Harbour Red.tif"} {
		want, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: "../../../../examples/" + name}}, coverage.Options{})
		require.NoError(t, err)
		a := c.upload([3]string{"file", name, example(t, name)})
		require.Equal(t, 200, a.status, string(a.body))
		b := decoded[brought](t, a)
		require.Len(t, b.Separations, 1)
		require.Len(t, want, 1)
		assert.Equal(t, []any{want[0].Ink, name, want[0].Width, want[0].CoveragePct()},
			[]any{b.Separations[0].Ink, b.Separations[0].File, b.Separations[0].WidthPX, b.Separations[0].CoveragePct})
		held, err := c.server.store.find(b.Separations[0].ID)
		require.NoError(t, err)
		assert.Equal(t, want[0].Columns, held.Columns)
		assert.Equal(t, want[0].Cells, held.Cells)
	}
}

// TestUploadBesideErrors brings good and bad files together.
func TestUploadBesideErrors(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	plate := rasterOf(half)
	a := c.upload([3]string{"file", "good.png", plate}, [3]string{"file", "cut.png", plate[:100]}, [3]string{"file", "", "%PDF-1.7"}, [3]string{"other", "x", "ignored"})
	require.Equal(t, 200, a.status)
	b := decoded[brought](t, a)
	assert.Len(t, b.Separations, 1)
	require.Len(t, b.Errors, 2)
	assert.Equal(t, "cut.png", b.Errors[0].File)
	assert.NotContains(t, b.Errors[0].Error, os.TempDir(), "a path of the server's")
	assert.Regexp(t, "^Ghostscript stops at an error in it .*export it anew", b.Errors[1].Error)

	a = c.upload([3]string{"file", "empty.tif", ""})
	require.Equal(t, http.StatusUnprocessableEntity, a.status)
	assert.Equal(t, []fileError{{File: "empty.tif", Error: "The file is empty; export the separation again."}}, decoded[brought](t, a).Errors)
}

func TestUploadedInksAreNamed(t *testing.T) {
	c := newClient(t, testOptions(t))
	plate := rasterOf(half)
	b := decoded[brought](t, c.upload([3]string{"ink", "", " Warm Red "}, [3]string{"file", "a.png", plate}, [3]string{"file", "job_K.png", plate}))
	require.Len(t, b.Separations, 2)
	assert.Equal(t, "Warm Red", b.Separations[0].Ink)
	assert.Equal(t, "Black", b.Separations[1].Ink, "by its file's name")
	b = decoded[brought](t, c.upload([3]string{"ink", "", "One,Two"}, [3]string{"file", "a.png", plate}))
	require.Len(t, b.Errors, 1)
	assert.Equal(t, "2 ink names are given for the file's 1 separation; bring the file without names, and name its inks here.", b.Errors[0].Error)
	refusedWith(t, 422, c.upload([3]string{"ink", "", "One,,Two"}, [3]string{"file", "a.png", plate}))
}

func TestRefusedUploads(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	c.server.maxUpload = 2000
	refusedWith(t, http.StatusBadRequest, c.upload())
	refusedWith(t, http.StatusBadRequest, c.upload([3]string{"other", "x", "y"}))
	refusedWith(t, http.StatusBadRequest, c.ask("POST", "/api/separations", strings.NewReader("{}")))
	refusedWith(t, http.StatusRequestEntityTooLarge, c.upload([3]string{"file", "large.tif", strings.Repeat("x", 3000)}))
	body, kind := form(t, [3]string{"file", "large.tif", strings.Repeat("x", 3000)})
	unsaid := func(r *http.Request) { r.ContentLength = -1 }
	refusedWith(t, http.StatusRequestEntityTooLarge, c.ask("POST", "/api/separations", body, kind, unsaid))
	body, kind = form(t, [3]string{"file", "cut.tif", strings.Repeat("x", 1000)})
	a := c.ask("POST", "/api/separations", bytes.NewReader(body.Bytes()[:600]), kind)
	require.Equal(t, http.StatusUnprocessableEntity, a.status)
	cut := decoded[brought](t, a)
	require.Len(t, cut.Errors, 1)
	assert.Contains(t, cut.Errors[0].Error, "id not arrive whole")
	assert.Empty(t, c.server.store.held)
}

// hostileNames are of files that a client may claim to send.
var hostileNames = []string{
	"../../../../etc/passwd", `..\..\boot.ini`, "/etc/shadow", "C:\\windows\\system.ini", ".", "..", "", "   ", "...",
	"a\x00b.tif", "line\nbreak.tif", "bell\a.tif", "right\u202eto-left.tif", "\xff\xfe.tif", "nul.tif:stream",
	strings.Repeat("long", 1000) + ".tif", strings.Repeat("ü", 500), "<script>alert(1)</script>.tif", "quote\"s.tif", "Ink=x.tif", "-o",
}

func TestHostileNames(t *testing.T) {
	ownTemp(t)
	outside := filepath.Join(os.Getenv("TMPDIR"), "..")
	before, err := os.ReadDir(outside)
	require.NoError(t, err)
	c := newClient(t, testOptions(t))
	plate := rasterOf(half)
	for _, name := range hostileNames {
		a := c.upload([3]string{"file", name, plate})
		if strings.ContainsAny(name, "\x00\a") { // no header may hold them
			refusedWith(t, http.StatusBadRequest, a)
			continue
		}
		require.Equal(t, 200, a.status, "%q: %s", name, a.body)
		b := decoded[brought](t, a)
		require.Len(t, b.Separations, 1)
		soundLabel(t, b.Separations[0].File)
		state := stateOf(t, b.Separations[0])
		state.Job = ""
		saved := c.send("/api/save?as=csv", state)
		assert.Equal(t, 200, saved.status, "%q: %s", name, saved.body)
		assert.NotContains(t, saved.header.Get("Content-Disposition"), "/")
	}
	after, err := os.ReadDir(outside)
	require.NoError(t, err)
	assert.Len(t, after, len(before))
}

// TestLongNamesAreNotKept brings plates with as much of a name as there can be:
// what is held of it is what is shown.
func TestLongNamesAreNotKept(t *testing.T) {
	ownTemp(t)
	server, err := New(testOptions(t))
	require.NoError(t, err)
	plate := rasterOf(half)
	const many, long = 100, 15_000
	heap := func() uint64 {
		var now runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&now)
		return now.HeapAlloc
	}
	bring := func(length int) {
		for range many {
			name, ink := strings.Repeat("n", length)+".png", "Black"+strings.Repeat(" ", length)
			body, kind := form(t, [3]string{"ink", "", ink}, [3]string{"file", name, plate})
			require.Equal(t, 200, direct(t, server, "/api/separations", body.Bytes(), kind, header(tabHeader, name)).status)
		}
	}
	bring(long) // what stays of the first time, stays once
	server.store.held = map[string]*separation{}
	empty := heap()
	bring(1)
	short := int64(heap() - empty)
	server.store.held = map[string]*separation{}
	bring(long)
	assert.Less(t, int64(heap()-empty)-short, int64(many*long/3))
	require.Len(t, server.store.held, many)
}

// TestPartsHaveShortHeads refuses a name that no file has, before all of it has
// come.
func TestPartsHaveShortHeads(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	good := partOf("good.png", rasterOf(half)) + "--b\r\nContent-Disposition: form-data; name=\"other\"\r\n\r\n" + strings.Repeat("ignored ", 10_000) + "\r\n"
	a := c.sendForm(strings.NewReader(good + partOf(strings.Repeat("n", 1<<20), rasterOf(half)) + "--b--"))
	require.Equal(t, 200, a.status, string(a.body))
	b := decoded[brought](t, a)
	assert.Len(t, b.Separations, 1)
	assert.Equal(t, []fileError{{Error: "A file's name is too long; give the file a shorter one and bring it again."}}, b.Errors)
	refusedWith(t, http.StatusBadRequest, c.sendForm(strings.NewReader(partOf(strings.Repeat("n", 1<<20), "")+"--b--")))
}

// soundLabel wants a name that stands on one line and is in no other folder.
func soundLabel(t testing.TB, label string) {
	t.Helper()
	require.NotEmpty(t, label)
	require.True(t, utf8.ValidString(label), "%q", label)
	require.LessOrEqual(t, len(label), maxLabel)
	require.NotContains(t, []string{".", ".."}, label)
	require.False(t, strings.ContainsAny(label, `/\:*?"<>|`) || strings.ContainsFunc(label, unicode.IsControl), "%q", label)
	require.Equal(t, label, fileLabel(label), "cleaned twice")
}

// FuzzUploadName brings a plate under any name: it is taken under a sound one,
// or the request is refused.
func FuzzUploadName(f *testing.F) {
	for _, name := range hostileNames {
		f.Add(name)
	}
	server, err := New(testOptions(f))
	require.NoError(f, err)
	plate := rasterOf(half)
	f.Fuzz(func(t *testing.T, name string) {
		soundLabel(t, fileLabel(name))
		body, kind := form(t, [3]string{"file", name, plate})
		a := direct(t, server, "/api/separations", body.Bytes(), kind)
		if a.status != http.StatusOK {
			refusedWith(t, http.StatusBadRequest, a)
			return
		}
		b := decoded[brought](t, a)
		require.Len(t, b.Separations, 1)
		soundLabel(t, b.Separations[0].File)
	})
}

// TestPicture looks at a plate whose left half is solid, from all sides.
func TestPicture(t *testing.T) {
	c, sep := drawnHalf(t)
	for _, seen := range []struct {
		query string
		sides image.Point // of the picture, in proportion: in pixels, which the page stretches to mm
		dark  image.Point // where the ink is, in quarters of the picture
	}{
		{"lead_edge=bottom&mirrored=false&dpi_x=&dpi_y=", image.Pt(400, 200), image.Pt(1, 1)},
		{"lead_edge=bottom&mirrored=true", image.Pt(400, 200), image.Pt(3, 1)},
		{"lead_edge=top", image.Pt(400, 200), image.Pt(3, 1)},
		{"lead_edge=left", image.Pt(200, 400), image.Pt(1, 3)},
		{"lead_edge=right", image.Pt(200, 400), image.Pt(1, 1)},
		{"lead_edge=bottom&dpi_x=50.8&dpi_y=25.4", image.Pt(400, 200), image.Pt(1, 1)},
	} {
		a := c.fetch("/api/picture?separation=" + sep.ID + "&" + seen.query)
		assert.Equal(t, "image/png", a.header.Get("Content-Type"))
		picture, err := png.Decode(bytes.NewReader(a.body))
		require.NoError(t, err)
		size := picture.Bounds().Size()
		assert.LessOrEqual(t, max(size.X, size.Y), maxPicture)
		assert.Equal(t, seen.sides.X*size.Y, seen.sides.Y*size.X, "%s: %v", seen.query, size)
		dark, _, _, _ := picture.At(size.X*seen.dark.X/4, size.Y*seen.dark.Y/4).RGBA()
		light, _, _, _ := picture.At(size.X*(4-seen.dark.X)/4, size.Y*(4-seen.dark.Y)/4).RGBA()
		assert.Equal(t, []uint32{0, 0xffff}, []uint32{dark, light}, seen.query)
	}
	for _, wrong := range []string{"lead_edge=inside", "lead_edge=bottom&mirrored=maybe", "lead_edge=bottom&dpi_x=NaN", "lead_edge=bottom&dpi_y=-1", "lead_edge=bottom&dpi_x=1e999", "lead_edge=bottom&dpi_x=x", "dpi_x=Inf&lead_edge=top"} {
		refusedWith(t, 422, c.ask("GET", "/api/picture?separation="+sep.ID+"&"+wrong, nil))
	}
	refusedWith(t, http.StatusGone, c.ask("GET", "/api/picture?separation=%2e%2e%2fx&lead_edge=bottom", nil))
	for range 20 { // of two that are wrong the first is named
		said := refusedWith(t, 422, c.ask("GET", "/api/picture?separation="+sep.ID+"&lead_edge=bottom&dpi_x=wide&dpi_y=long", nil))
		require.Equal(t, "placement.dpi_x", said.Place)
	}
}
