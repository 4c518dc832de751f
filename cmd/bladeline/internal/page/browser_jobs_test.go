package page

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bring chooses files for the page.
func (b *tab) bring(paths ...string) {
	b.t.Helper()
	for i, path := range paths {
		whole, err := filepath.Abs(path)
		require.NoError(b.t, err)
		paths[i] = whole
	}
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), paths))
}

// inks are those of the job, in their order.
func (b *tab) inks() []string {
	b.t.Helper()
	return get[[]string](b, `[...document.querySelectorAll("#inks [data-unit]:not([data-unit='-1'])")].map((n) => n.textContent)`)
}

// plateFile is a plate in a file: a PNG of so many mm.
func plateFile(t *testing.T, name string, widthMM, heightMM float64, shapes ...shape) string {
	t.Helper()
	p := plate{WidthMM: widthMM, HeightMM: heightMM, Shapes: shapes}
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, p.raster(), 0o600))
	return path
}

// bare is what serve begins with where nothing is named.
func bare(t *testing.T) Options {
	library, err := job.LoadLibrary("")
	require.NoError(t, err)
	return Options{Library: library, Cautions: "A preset is a starting point."}
}

// TestAnotherJobIsNotMixedIn brings files of another job beside one: the page asks.
// Begun anew, the job has their name and theirs alone, and Undo brings the one before
// back; added, the old name stays.
func TestAnotherJobIsNotMixedIn(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	before := b.inks()
	regatta := []string{plateFile(t, "regatta_C.png", 500, 300, half), plateFile(t, "regatta_K.png", 500, 300, half)}
	b.bring(regatta...)
	b.wait(`!document.querySelector("#ask").hidden`)
	assert.Equal(t, before, b.inks(), "nothing is mixed in")
	assert.Equal(t, "regatta is another job than the one here.", get[string](b, `document.querySelector("#ask-says").textContent`))
	b.click("#ask-new")
	b.wait(`document.querySelector("#job-name").value === "regatta"`)
	b.settled()
	assert.Equal(t, []string{"Cyan", "Black"}, b.inks())
	assert.Equal(t, "regatta", b.saved().Job)
	b.click("#undo")
	b.wait(`document.querySelector("#job-name").value === "harbour-fair"`)
	assert.Equal(t, before, b.inks())

	b.bring(regatta[1])
	b.wait(`!document.querySelector("#ask").hidden`)
	b.click("#ask-add")
	b.wait(`document.querySelector("#ask").hidden`)
	assert.Equal(t, append(before, "Black 2"), b.inks())

	get[bool](b, `(document.querySelector("#job-name").select(), true)`)
	b.press("Fair, second try" + kb.Tab)
	b.settled()
	assert.Equal(t, "Fair, second try", b.saved().Job)
	assert.Equal(t, 1, get[int](b, `document.querySelectorAll("#brought li").length`), "of what was brought last")
	b.click("#job-new")
	b.wait(`!document.querySelector("#welcome").hidden && !document.querySelector("#brought-part").checkVisibility()`)
	b.bring(regatta...)
	b.wait(`document.querySelector("#job-name").value === "regatta"`)
}

// TestTwoOtherJobsAreAskedAboutApart brings files of two other jobs, one behind the other:
// each has its own question, and they are not mixed with one another.
func TestTwoOtherJobsAreAskedAboutApart(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".dot")`)
	asks := func(name string) {
		t.Helper()
		b.wait(fmt.Sprintf(`!document.querySelector("#ask").hidden && document.querySelector("#ask-says").textContent === "%s is another job than the one here."`, name))
	}
	b.bring(plateFile(t, "regatta_C.png", 500, 300, half))
	asks("regatta")
	b.bring(plateFile(t, "market_K.png", 500, 300, half))
	b.bring(plateFile(t, "regatta_M.png", 500, 300, half))
	b.wait(`document.querySelector("#ask-add").textContent === "Add Cyan, Magenta to the job here"`)
	asks("regatta")
	b.click("#ask-new")
	asks("market")
	assert.Equal(t, []string{"Cyan", "Magenta"}, b.inks())
	b.click("#ask-leave")
	b.wait(`document.querySelector("#ask").hidden`)
	assert.Equal(t, []string{"Cyan", "Magenta"}, b.inks())
}

// TestNothingIsSetOnAMisfit brings a press that is too narrow: the job keeps its name,
// and what cannot be done says why.
func TestNothingIsSetOnAMisfit(t *testing.T) {
	o := options(t, harbourFair()...)
	o.Job = "" // which its files then name
	b := open(t, o)
	b.wait(`document.querySelector("#job-name").value === "harbour-fair"`)
	b.bring(examplesDir+"duplicator.press.toml", examplesDir+"duplicator.curve.toml")
	b.wait(`!document.querySelector("#ask").hidden`)
	b.click("#ask-new")
	b.wait(`!document.querySelector("#overhang").hidden`)
	b.settled()
	assert.Equal(t, "harbour-fair", get[string](b, `document.querySelector("#job-name").value`))
	b.click("#quiz")
	b.wait(`document.querySelector("#said").textContent.startsWith("There are no keys to set: the form does not lie on this fountain.")`)
	b.click("#rehearse")
	b.wait(`document.querySelector("#rehearse-problem").textContent.startsWith("There is no run to rehearse: ")`)
}

// TestNothingBroughtTakesOver brings a press, edited since it was shipped, with the curve
// that it names, and a curve of somebody else's beside a job: each is there to choose from,
// and the job's own stay until the page is told otherwise. Undo brings them back.
func TestNothingBroughtTakesOver(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	press := func() string {
		return get[string](b, `document.querySelector("#press").selectedOptions[0].textContent`)
	}
	file := func(name, of, old, now string) string {
		t.Helper()
		text, err := os.ReadFile(examplesDir + of)
		require.NoError(t, err)
		require.Contains(t, string(text), old)
		path := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), old, now, 1)), 0o600))
		return path
	}
	asks := func(says, take, leave string) {
		t.Helper()
		b.wait(fmt.Sprintf(`!document.querySelector("#ask").hidden && document.querySelector("#ask-says").textContent === %q`, says))
		assert.Equal(t, []string{take, leave}, []string{b.text("#ask-new"), b.text("#ask-leave")})
		assert.True(t, get[bool](b, `document.querySelector("#ask-add").hidden`))
	}
	keys, points := b.keys(), b.points("job", 0)

	wide := file("two-colour.press.toml", "two-colour.press.toml", "zones = 21", "zones = 22")
	for _, answer := range []string{"#ask-leave", "#ask-new"} {
		b.bring(wide, examplesDir+"coated.curve.toml")
		asks("Two-colour 26-inch, from two-colour.press.toml is a press to choose from now.", "Use Two-colour 26-inch, from two-colour.press.toml", "Keep Two-colour 26-inch")
		assert.Equal(t, keys, b.keys())
		assert.Equal(t, "Two-colour 26-inch", press())
		b.click(answer)
		b.wait(`document.querySelector("#ask").hidden`)
		b.settled()
	}
	assert.Equal(t, "Two-colour 26-inch, from two-colour.press.toml", press())
	assert.Len(t, b.keys(), 22)
	assert.Equal(t, 1, get[int](b, `[...document.querySelectorAll("#press option")].filter((n) => n.textContent.includes("from two-colour")).length`), "the same file twice is one press")
	b.click("#undo")
	b.settled()
	assert.Equal(t, keys, b.keys())

	curve := file("other.curve.toml", "coated.curve.toml", "Coated, starting value", "From another shop")
	b.bring(curve)
	asks("From another shop is a curve to choose from now.", "Use it for Black", "Keep the curve of Black")
	b.click(`[data-unit="1"]`)
	asks("From another shop is a curve to choose from now.", "Use it for Harbour Red", "Keep the curve of Harbour Red")
	b.click(`[data-unit="0"]`)
	assert.Equal(t, "Coated, starting value", b.unit("job", 0).Curve.Name)
	assert.Equal(t, points, b.points("job", 0))
	b.click("#quiz")
	b.wait(`document.querySelector("#ask-new").disabled`)
	assert.Contains(t, b.text("#ask-says"), "The exercise keeps its own until it ends.")
	b.click("#quiz-end")
	b.wait(`!document.querySelector("#ask-new").disabled`)
	b.click("#ask-new")
	b.settled()
	assert.Equal(t, "From another shop", b.unit("job", 0).Curve.Name)
	b.click("#undo")
	assert.Equal(t, "Coated, starting value", b.unit("job", 0).Curve.Name)
}

// TestMisfitBesideOthers adds an ink that is too wide for the press: the others are
// there as before, the message names the one that is wrong, and looked at it is drawn
// over the fountain.
func TestMisfitBesideOthers(t *testing.T) {
	b := open(t, options(t, harbourFair()[:2]...))
	b.wait(`document.querySelector(".dot")`)
	keys := b.keys()
	b.bring(plateFile(t, "harbour-fair_M.png", 900, 300, shape{0, 0, 1, 1, 100}))
	b.wait(`document.querySelector("#problem").textContent`)
	const says = "Ink Magenta: ink stands beyond the fountain's ends, 116.6 mm at the left and 116.6 mm at the right: the form is wider than the 666.8 mm that it inks; take another press, or correct the zones or the dots per inch."
	assert.Equal(t, says, get[string](b, `document.querySelector("#problem").textContent`))
	assert.Equal(t, "Magenta", get[string](b, `document.querySelector("#ink").textContent`))
	drawn := get[[]string](b, `[...document.querySelectorAll("#overhang .flag")].map((n) => n.textContent)`)
	assert.Equal(t, []string{"ink 116.6 mm beyond this end", "ink 116.6 mm beyond this end"}, drawn)
	assert.True(t, get[bool](b, `document.querySelector("#bench").hidden && document.querySelector("#table-part").hidden`))
	b.wait(`document.querySelector("#overhang image").href.baseVal`)
	assert.Equal(t, "the curve, at sweep 45 %", b.text(".curve-names"))
	assert.True(t, get[bool](b, onPoints), "its curve is there to be worked on")
	b.focus(`[data-point="6"]`)
	b.press(kb.Enter + kb.ArrowUp + kb.ArrowUp + kb.ArrowUp)
	b.settled()
	assert.True(t, get[bool](b, onPoints), "and follows")

	b.click(`[data-unit="0"]`)
	b.wait(`!document.querySelector("#bench").hidden && document.querySelector("#overhang").hidden`)
	assert.Equal(t, keys, b.keys())
	assert.Equal(t, says, get[string](b, `document.querySelector("#problem").textContent`))
	b.focus(`[data-point="4"]`)
	b.press(kb.Enter + kb.ArrowUp + kb.ArrowUp + kb.ArrowUp + kb.ArrowUp)
	b.waitKey("14", keys["14"])
	b.click(`[data-unit="-1"]`)
	b.wait(`document.querySelectorAll(".unit-title").length === 2`)
	b.click(`[data-save="csv"]`)
	b.wait(`document.querySelector("#said").textContent === "Not saved: what is wrong stands at the top."`)
	assert.Contains(t, b.text("#problem"), "Ink Magenta: ")
}

// TestMisfitNamesThePressThatTakesIt has a form too wide for its press: the narrowest
// press that takes it is named, a click chooses it, and Undo brings the other back.
func TestMisfitNamesThePressThatTakesIt(t *testing.T) {
	b := open(t, options(t, harbourFair()[:2]...))
	b.wait(`document.querySelector(".dot")`)
	assert.True(t, get[bool](b, `document.querySelector("#press-fits").hidden`))
	b.set("press", "duplicator")
	b.wait(`!document.querySelector("#overhang").hidden && !document.querySelector("#press-fits").hidden`)
	assert.Equal(t, "Use Two-colour 26-inch, the narrowest press here that takes the form", b.text("#press-fits"))
	b.click("#press-fits")
	b.wait(`document.querySelectorAll("g.key").length === 21 && document.querySelector("#press-fits").hidden`)
	assert.Equal(t, "two-colour", get[string](b, `document.querySelector("#press").value`))
	b.click("#undo")
	b.wait(`!document.querySelector("#overhang").hidden && !document.querySelector("#press-fits").hidden`)

	b.set("press", "two-colour")
	b.bring(plateFile(t, "harbour-fair_M.png", 900, 300, shape{0, 0, 1, 1, 100}))
	b.wait(`!document.querySelector("#press-fits").hidden`)
	assert.Equal(t, "Use Four-colour 40-inch, the narrowest press here that takes the form", b.text("#press-fits"), "where one ink is too wide, too")
}

// TestCompositeIsLeftOutOfTheJob brings a composite beside a separation of one of its
// inks: it counts nowhere, and one button leaves it out.
func TestCompositeIsLeftOutOfTheJob(t *testing.T) {
	b := open(t, bare(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	composite := filepath.Join(t.TempDir(), "poster.tif")
	data, err := os.ReadFile("../../../../testdata/cmyk-lzw.tif") // of four inks
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(composite, data, 0o600))
	b.bring(composite, plateFile(t, "poster_K.png", 250, 200, half))
	b.wait(`!document.querySelector("#composite-out").hidden`)
	assert.Len(t, b.inks(), 5)
	assert.Regexp(t, `poster\.tif: is the composite, which holds the inks together.*; leave the composite out\.$`, get[string](b, `document.querySelector("#problem").textContent`))
	b.click("#composite-out")
	b.wait(`!document.querySelector("#problem").textContent && document.querySelector(".dot")`)
	assert.Len(t, b.inks(), 1)
	b.click("#undo")
	b.wait(`!document.querySelector("#composite-out").hidden`)
}

// TestBareServe drops a form on a page that was begun with nothing: it chooses a press
// that takes it, as the command line does, unless somebody has chosen.
func TestBareServe(t *testing.T) {
	form := harbourFair()[0]
	b := open(t, bare(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	first := get[string](b, `document.querySelector("#press").value`)
	require.Equal(t, "duplicator", first, "the first, which is too narrow")
	b.bring(form)
	b.wait(`document.querySelector(".dot")`)
	assert.Equal(t, "two-colour", get[string](b, `document.querySelector("#press").value`), "the narrowest that takes 640 mm")
	assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`))

	b = open(t, bare(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	b.set("welcome-press", "two-colour")
	b.bring(form)
	b.wait(`document.querySelectorAll("g.key").length === 21`)

	b = open(t, bare(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	b.set("welcome-press", "duplicator")
	b.bring(form)
	b.wait(`!document.querySelector("#overhang").hidden`)
	assert.Contains(t, get[string](b, `document.querySelector("#overhang").textContent`), "the fountain, 285.8 mm; the form is 640.1 mm wide")
}

// TestExampleFitsEveryPress begins with the example of each press: it lies on it, and
// its keys say something.
func TestExampleFitsEveryPress(t *testing.T) {
	o := bare(t)
	b := open(t, o)
	for _, p := range o.Presses {
		b.wait(`!document.querySelector("#welcome").hidden`)
		b.click(fmt.Sprintf(`[data-example=%q]`, p.Called))
		b.wait(fmt.Sprintf(`document.querySelectorAll("g.key").length === %d`, p.Press.Fountain.Zones))
		b.settled()
		assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`), p.Called)
		assert.Equal(t, "handbill", get[string](b, `document.querySelector("#job-name").value`))
		set := map[string]bool{}
		for _, key := range b.keys() {
			set[key] = true
		}
		assert.Greater(t, len(set), 3, "%s: keys differ", p.Called)
		b.click("#job-new")
	}
}

// TestZonesOutlastAnotherPress changes a press, looks at another and comes back: the
// change is there, and it is said.
func TestZonesOutlastAnotherPress(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.set("zones", "23")
	b.wait(`document.querySelectorAll("g.key").length === 23`)
	b.set("press", "four-colour")
	b.wait(`document.querySelectorAll("g.key").length === 32`)
	assert.Empty(t, get[string](b, `document.querySelector("#press-said").textContent`))
	b.set("press", "two-colour")
	b.wait(`document.querySelectorAll("g.key").length === 23`)
	b.wait(`document.querySelector("#press-said").textContent === "Two-colour 26-inch, as you left it: zones or blade are not its own."`)
}

// TestAllAsItWasAtFirst changes all that can be changed, but for which inks there are,
// and takes it back with one button; Undo takes that back.
func TestAllAsItWasAtFirst(t *testing.T) {
	b := open(t, options(t, harbourFair()[:2]...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	kept := func() State { return b.remembered().Views["job"] }
	first, keys := kept(), b.keys()
	b.set("press", "four-colour")
	b.set("zones", "30")
	b.set("paper", "board")
	b.set("lead_edge", "top")
	b.set("shift_mm", "12")
	b.focus(`[data-point="4"]`)
	b.press(kb.Enter + kb.ArrowUp + kb.ArrowUp)
	b.slide(9)
	b.set("ink-name", "Night")
	b.set("job-name", "Another")
	b.settled()
	changed := kept()
	b.click("#press-reset")
	b.settled()
	assert.Equal(t, first, kept())
	assert.Equal(t, keys, b.keys())
	assert.Equal(t, "two-colour", get[string](b, `document.querySelector("#press").value`))
	b.set("press", "four-colour")
	b.wait(`document.querySelectorAll("g.key").length === 32`)
	b.click("#undo")
	b.click("#undo")
	b.settled()
	assert.Equal(t, changed, kept())
}

// TestOneTabLooksPressed begins the exercise, and a rehearsal: of the views one is pressed.
func TestOneTabLooksPressed(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	pressed := func() []string {
		return get[[]string](b, `[...document.querySelectorAll("nav[aria-label=Views] [aria-pressed=true]")].map((n) => n.textContent)`)
	}
	assert.Equal(t, []string{"The job"}, pressed())
	b.click("#quiz")
	b.wait(`!document.querySelector("#quiz-part").hidden`)
	assert.Equal(t, []string{"Set the keys yourself"}, pressed())
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("#quiz-part").hidden`)
	assert.Equal(t, []string{"Draw a form"}, pressed())
	b.click(`[data-form="band"]`)
	b.settled()
	b.click("#rehearse")
	b.wait(`document.querySelector("#rehearse-part").checkVisibility()`)
	assert.Equal(t, []string{"Rehearse"}, pressed())
	b.click(`[data-view="drawn"]`)
	b.wait(`!document.querySelector("#rehearse-part").checkVisibility()`)
	assert.Equal(t, []string{"Draw a form"}, pressed())
}

// TestLettersAreNoNumbers types letters and a decimal comma into a field of numbers,
// of which browsers drop some without a word: 31,75 would be 3175.
func TestLettersAreNoNumbers(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".dot")`)
	get[bool](b, `(document.querySelector("#zone_width_mm").select(), true)`)
	b.press("abc")
	b.wait(`document.querySelector("#press-said").textContent === "Zone width, mm is a number: c is none."`)
	b.press(kb.Tab)
	assert.Equal(t, "31.75", get[string](b, `document.querySelector("#zone_width_mm").value`))
	get[bool](b, `(document.querySelector("#zone_width_mm").select(), true)`)
	b.press("32,5" + kb.Tab)
	b.settled()
	assert.Equal(t, "32.5", get[string](b, `document.querySelector("#zone_width_mm").value`))
}

// TestDroppedFolder drops a folder of separations, with one within it, as the browser
// drops files.
func TestDroppedFolder(t *testing.T) {
	b := open(t, bare(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	folder := filepath.Join(t.TempDir(), "regatta")
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "spot"), 0o777))
	p := plate{WidthMM: 200, HeightMM: 100, Shapes: []shape{half}}
	for _, name := range []string{"regatta_C.png", "regatta_K.png", "spot/regatta.Harbour Red.png", ".hidden_M.png"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), p.raster(), 0o600))
	}
	for _, kind := range []input.DispatchDragEventType{input.DispatchDragEventTypeDragEnter, input.DispatchDragEventTypeDragOver, input.DispatchDragEventTypeDrop} {
		_, err := chromedp.Call(b.ctx, input.DispatchDragEvent, input.DispatchDragEventParams{Type: kind, X: 400, Y: 400, Data: &input.DragData{Files: []string{folder}, DragOperationsMask: 1}})
		require.NoError(t, err)
	}
	b.wait(`document.querySelector(".dot")`)
	assert.Equal(t, []string{"Cyan", "Black", "Harbour Red"}, b.inks())
	assert.Equal(t, "regatta", get[string](b, `document.querySelector("#job-name").value`))
}

// TestKeySheetFromThePage saves a key sheet of another page and with the ink for a
// run, as sheet --page-size and --copies draw it.
func TestKeySheetFromThePage(t *testing.T) {
	o := options(t, harbourFair()[0])
	four := *o.Presses[1].Press
	o.Presses[0].Press = &four
	b := open(t, o)
	b.wait(`document.querySelector(".dot")`)
	sheet := func() (text, size string) {
		t.Helper()
		path := filepath.Join(t.TempDir(), "sheet.pdf")
		require.NoError(t, os.WriteFile(path, b.download(func() { b.click(`[data-save="pdf"]`) }), 0o600))
		out, err := exec.CommandContext(b.ctx, "pdftotext", "-layout", path, "-").Output()
		require.NoError(t, err, "pdftotext is of poppler-utils")
		info, err := exec.CommandContext(b.ctx, "pdfinfo", path).Output()
		require.NoError(t, err)
		return string(out), regexp.MustCompile(`Page size: +(\S+ x \S+)`).FindStringSubmatch(string(info))[1]
	}
	text, size := sheet()
	assert.Equal(t, "841.89 x 595.28", size)
	assert.NotRegexp(t, `for \d+ sheets`, text)
	b.set("page-size", "letter")
	b.set("copies", "5000")
	text, size = sheet()
	assert.Equal(t, "792 x 612", size)
	assert.Contains(t, text, "for 5000 sheets")
	b.set("copies", "-3")
	b.wait(`document.querySelector("#sheet-said").textContent === "Copies stays empty: it is a whole number from 1 to 1000000000."`)
}

// TestPageOfAPDF drops a PDF of two pages: the page asks which is the form, and reads it.
func TestPageOfAPDF(t *testing.T) {
	folder := t.TempDir()
	source, pdf := filepath.Join(folder, "leaflet.ps"), filepath.Join(folder, "leaflet.pdf")
	require.NoError(t, os.WriteFile(source, []byte(twoSquares+twoSquares), 0o600))
	out, err := exec.CommandContext(t.Context(), "gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-o", pdf, source).CombinedOutput()
	require.NoError(t, err, string(out))
	b := open(t, bare(t))
	b.bring(pdf)
	b.wait(`document.querySelector("#brought button")`)
	assert.Contains(t, get[string](b, `document.querySelector("#brought").textContent`), "choose the page that is the form")
	b.click("#brought button")
	b.wait(`document.querySelector(".dot")`)
	assert.ElementsMatch(t, []string{"Black", "Harbour Blue"}, b.inks())
	assert.Equal(t, "leaflet", get[string](b, `document.querySelector("#job-name").value`))
	assert.Equal(t, "duplicator", get[string](b, `document.querySelector("#press").value`), "the narrowest that takes 200 mm")
	assert.Contains(t, get[string](b, `document.querySelector("#brought").textContent`), "separated by Ghostscript")
}

// leaflet is a PDF of one page in fonts that are not in it, none of the 14 that every
// reader has (ISO 32000-1, 9.6.2.2).
func leaflet(fonts ...string) []byte {
	var text, known strings.Builder
	objects := []string{"<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>", "", ""}
	for i, font := range fonts {
		fmt.Fprintf(&text, "BT /F%d 30 Tf 20 %d Td (Harbour fair) Tj ET\n", i, 250-30*i)
		fmt.Fprintf(&known, "/F%d %d 0 R", i, 5+i)
		objects = append(objects, "<</Type/Font/Subtype/Type1/BaseFont/"+font+"/Encoding/WinAnsiEncoding>>")
	}
	objects[2] = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 400 300]/Contents 4 0 R/Resources<</Font<<" + known.String() + ">>>>>>"
	objects[3] = fmt.Sprintf("<</Length %d>>stream\n%s\nendstream", text.Len(), text.String())
	pdf, places := []byte("%PDF-1.4\n"), ""
	for i, object := range objects {
		places += fmt.Sprintf("%010d 00000 n \n", len(pdf))
		pdf = fmt.Appendf(pdf, "%d 0 obj\n%s\nendobj\n", i+1, object)
	}
	return fmt.Appendf(pdf, "xref\n0 %d\n0000000000 65535 f \n%strailer<</Root 1 0 R/Size %d>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, places, len(objects)+1, len(pdf))
}

// TestFilesBroughtTakeALine brings several files: the list of them is a line, that what
// failed alone is added to, and is unfolded by keyboard. A PDF alone says in one sentence
// which fonts it lacks.
func TestFilesBroughtTakeALine(t *testing.T) {
	b := open(t, bare(t))
	pdf, bad := filepath.Join(t.TempDir(), "leaflet.pdf"), filepath.Join(t.TempDir(), "letter.tif")
	require.NoError(t, os.WriteFile(pdf, leaflet("FairSans", "FairSans-Bold"), 0o600))
	require.NoError(t, os.WriteFile(bad, []byte("Dear Sir"), 0o600))
	read := `document.querySelector("#brought li") && !document.querySelector("#brought progress")`
	high := `document.querySelector("#brought-part").getBoundingClientRect().height`
	seen := func() []string {
		return get[[]string](b, `[...document.querySelectorAll("#brought li")].filter((n) => n.checkVisibility()).map((n) => n.querySelector("strong").textContent)`)
	}
	b.bring(pdf)
	b.wait(read)
	assert.Equal(t, "leaflet.pdf: read: Black; separated by Ghostscript "+regexp.MustCompile(`[\d.]+\d`).FindString(b.text("#brought"))+", 600 dpi; warning: the fonts FairSans and FairSans-Bold are not in the file, and the letters of those that stand in for them may cover more or less; embed fonts; no ink of Cyan, Magenta, Yellow, so no unit for them", strings.TrimSpace(b.text("#brought")))
	assert.False(t, get[bool](b, `document.querySelector("#files-each").checkVisibility()`), "one file is no list to fold")
	b.click("#job-new")

	b.bring(append(harbourFair(), pdf)...)
	b.wait(read)
	b.settled()
	assert.Equal(t, "6 files read, 1 with a warning.", b.text("#brought-says"))
	assert.Empty(t, seen())
	for _, size := range [][2]int64{{1440, 900}, {1024, 768}} {
		b.do(chromedp.EmulateViewport(size[0], size[1]))
		assert.Less(t, get[float64](b, high), 45.0, "a line")
	}
	b.focus("#files-each")
	b.press(kb.Enter)
	assert.Len(t, seen(), 6)
	assert.Equal(t, "true", get[string](b, `document.querySelector("#files-each").ariaExpanded`))
	assert.Empty(t, axeFinds(t, b), "unfolded")
	b.press(" ")
	assert.Empty(t, seen())
	b.press(kb.Tab + kb.Enter)
	assert.False(t, get[bool](b, `document.querySelector("#brought-part").checkVisibility()`))

	b.bring(harbourFair()[0], bad)
	b.wait(read)
	b.settled()
	assert.Equal(t, "1 of 2 files read.", b.text("#brought-says"))
	assert.Equal(t, []string{"letter.tif:"}, seen(), "what failed is told unasked")
	assert.Empty(t, axeFinds(t, b), "folded")
}

// TestClassListDropped drops a class list: it is taken for what it is.
func TestClassListDropped(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".dot")`)
	path := filepath.Join(t.TempDir(), "class.csv")
	require.NoError(t, os.WriteFile(path, []byte("pupil,form,try,score,seconds\r\nAnn,tint,1,80,30\r\nBob,tint,1,70,40\r\n"), 0o600))
	b.bring(path)
	b.wait(`document.querySelector("#brought").textContent.includes("2 tries read")`)
	assert.Contains(t, get[string](b, `document.body.textContent`), "Ann")
	get[bool](b, `(HTMLAnchorElement.prototype.click = function () { window.savedAs = this.download; }, document.querySelector("#class-save").click(), true)`)
	assert.Equal(t, "class list, harbour-fair, tint.csv", get[string](b, `window.savedAs`), "of two pupils")
}

// TestTablesPrintWhole prints a table that is longer than a page, lying and standing:
// every zone has its whole row on one page, under the table's head.
func TestTablesPrintWhole(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.set("zone_width_mm", "10.5")
	b.set("zones", "64")
	b.wait(`document.querySelectorAll("#rows tr").length === 64`)
	b.settled()
	row := regexp.MustCompile(`(?m)^ *([1-9]\d*) +[\d.]+ +[\d.–]+ +[\d.]+ +\d+ +\S.* +\S+$`)
	for _, how := range [][]chromedp.PDFOption{nil, {chromedp.PDFLandscape()}} {
		seen, drawn := map[string]int{}, 0
		for _, page := range b.printed(how...) {
			rows := row.FindAllStringSubmatch(page, -1)
			for _, r := range rows {
				seen[r[1]]++
			}
			if len(rows) > 0 {
				assert.Contains(t, page, "covered", "the table's head")
			}
			if strings.Contains(page, "fountain roller") {
				drawn++
				assert.Contains(t, page, "lead edge", "the drawing is whole")
			}
		}
		for zone := 1; zone <= 64; zone++ {
			assert.Equal(t, 1, seen[strconv.Itoa(zone)], "zone %d", zone)
		}
		assert.Equal(t, 1, drawn)
	}
}

// TestJobsAreAccessible looks at the page without a job, asking, with a form beside the
// fountain and with an OK file, for what keeps somebody out.
func TestJobsAreAccessible(t *testing.T) {
	b := open(t, bare(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	finds := func(what string) {
		t.Helper()
		for _, size := range [][2]int64{{1440, 900}, {390, 844}} {
			b.do(chromedp.EmulateViewport(size[0], size[1]))
			b.settled()
			for _, check := range []string{nameless, ids} {
				assert.Empty(t, get[[]string](b, check), "%s, %v", what, size)
			}
			in := map[bool][]string{true: {"light", "dark"}, false: {"forced light", "forced dark"}}[size[0] > 1000]
			assert.Empty(t, axeIn(t, b, in...), "%s, %v", what, size)
			assert.LessOrEqual(t, get[int](b, `document.documentElement.scrollWidth`), int(size[0]), "%s, %v", what, size)
		}
	}
	finds("welcome")
	b.click(`[data-example="two-colour"]`)
	b.wait(`document.querySelector(".dot")`)
	b.bring(plateFile(t, "regatta_C.png", 900, 300, half))
	b.wait(`!document.querySelector("#ask").hidden`)
	finds("asking")
	b.click("#ask-add")
	b.wait(`!document.querySelector("#overhang").hidden`)
	finds("beside the fountain")
	b.bring(examplesDir + "ok/winter-market.csv")
	b.click("#ask-new")
	b.wait(`document.querySelector("#run-says").textContent`)
	finds("an OK file")
}
