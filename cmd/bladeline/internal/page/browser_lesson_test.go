package page

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLessonSweepTooLow is a lesson: a form that is swept too short, where keys stand
// at the ceiling and ink is missing; the exercise tells a good profile at that sweep
// from a bad one; and the sweep that the page finds sets it right.
func TestLessonSweepTooLow(t *testing.T) {
	harbour := func(t *testing.T) Options { return options(t, harbourFair()...) }
	onScreens(t, harbour, sweepTooLow)
}

func sweepTooLow(t *testing.T, b *tab) {
	b.wait(`document.querySelector(".dot")`)
	b.slide(0)
	b.settled()
	ceilings := func() int {
		n := 0
		for _, by := range b.held() {
			if by == "ceiling" {
				n++
			}
		}
		return n
	}
	assert.GreaterOrEqual(t, ceilings(), 9)
	assert.Contains(t, b.text("#warnings"), "of its ink is missing; a sweep of")
	assert.GreaterOrEqual(t, get[int](b, `[...document.querySelectorAll("#rows td:nth-child(7)")].filter((n) => Number(n.textContent.replace("−", "-")) < -10).length`), 9)
	assert.Len(t, b.hanging(), 9, "the ink that is missing hangs from the ductor")
	b.sees("#sweep", ".film-word", "#warned")
	b.step("swept too short")
	low := b.keys()

	b.beginQuiz(21)
	b.slide(0)
	for zone := 1; zone <= 21; zone++ {
		b.typeKey(zone, low[fmt.Sprint(zone)])
	}
	b.weigh()
	assert.Regexp(t, `get too little\..*it takes a longer one`, b.text("#quiz-verdict"))
	assert.Less(t, b.remembered().Trial.Answer.Score, 70.0)
	b.sees("#quiz-score", "#quiz-verdict", ".plate", "#quiz-weigh")
	assert.Empty(t, overlying(b, "#bench", `["fountain roller"].includes(n.textContent) || n.textContent.startsWith("dashed")`))
	b.step("those keys weighed")

	b.slide(35) // 45 %, with the same keys: all zones are flooded, but for those that had too little
	b.weigh()
	assert.Regexp(t, `Level \+\d{3} %: all zones together get too much; with these keys a sweep of \d+ % instead of 45 % would be right\.`, b.text("#quiz-verdict"))
	b.step("the level apart from the profile")

	b.click("#quiz-end")
	b.click("#auto")
	b.settled()
	assert.Zero(t, ceilings())
	b.step("the sweep that is found")
	right, sweep := b.keys(), b.text("#sweep-value")
	b.beginQuiz(21)
	for zone := 1; zone <= 21; zone++ {
		b.typeKey(zone, right[fmt.Sprint(zone)])
	}
	b.slide(get[int](b, `Number(document.querySelector("#sweep").value) + `+strings.TrimSuffix(sweep, " %")+` - parseInt(document.querySelector("#sweep-value").textContent)`))
	b.weigh()
	assert.Equal(t, "Score 100 of 100", b.text("#quiz-score"))
	assert.Equal(t, []string{"% open × sweep", "", "", "the best"}, get[[]string](b, `[...document.querySelectorAll("#tries thead th")].slice(1).map((n) => n.textContent.split(", ")[1] ?? "")`), "the tries stand beside one another")
	b.step("the best keys")
}

// offRun is how far the keys stand from what was run of the ink that is seen, on
// average, and read on the page.
func (b *tab) offRun() float64 {
	b.t.Helper()
	b.settled()
	rows := get[[][]string](b, `[...document.querySelectorAll("#rows tr")].map((tr) => [tr.children[4].textContent, tr.lastChild.textContent.split(" ")[0]])`)
	require.Len(b.t, rows, 21)
	sum, n := 0.0, 0.0
	for _, row := range rows {
		key, err := strconv.ParseFloat(row[0], 64)
		require.NoError(b.t, err)
		if run, err := strconv.ParseFloat(row[1], 64); err == nil {
			sum, n = sum+math.Abs(key-run), n+1
		}
	}
	require.Greater(b.t, n, 15.0)
	return sum / n
}

// TestLessonLearnsFromAnOKFile is a lesson: what was finally run is dropped on the job,
// and lies dashed over what is computed; a curve is learned from the shop's OK files,
// as curve learn does, and dropped, too: the keys come to stand where they were run.
func TestLessonLearnsFromAnOKFile(t *testing.T) {
	black := func(t *testing.T) Options { return options(t, harbourFair()[0]) }
	onScreens(t, black, learnsFromAnOKFile)
}

func learnsFromAnOKFile(t *testing.T, b *tab) {
	b.wait(`document.querySelector(".dot")`)
	bring := func(path, says string) {
		t.Helper()
		path, err := filepath.Abs(path)
		require.NoError(t, err)
		b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{path}))
		b.wait(fmt.Sprintf(`document.querySelector("#brought").textContent.includes(%q)`, says))
		b.settled()
	}
	bring(examplesDir+"ok/harbour-fair.csv", "what was run is dashed over what is computed")
	assert.Contains(t, b.text("#run-says"), "Dashed: as run, by harbour-fair.csv, at sweep 45 %.")
	assert.NotEmpty(t, get[string](b, `document.querySelector(".blade-ghost").getAttribute("d")`))
	dashed := `document.querySelector(".blade-ghost").getAttribute("d")`
	run := get[string](b, dashed)
	b.sees(".blade-ghost")
	b.step("what was run")
	b.slide(35)
	before := b.offRun()
	assert.Greater(t, before, 2.0, "points between the starting value's keys and those that were run")

	l, err := job.Learning{Press: "two-colour", Ink: "Black", OKFiles: []string{examplesDir + "ok"}}.Lesson(t.Context())
	require.NoError(t, err)
	learned, err := l.Learn("", 1)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "black.curve.toml")
	file, err := l.CurveIn(path, learned)
	require.NoError(t, err)
	require.NoError(t, job.WriteFiles([]job.File{file}))
	bring(path, "Black on Two-colour 26-inch; inks take it under «From»")
	assert.InDelta(t, before, b.offRun(), 1e-9, "until it is said to")
	b.step("a curve that is offered")
	b.click("#ask-new")
	assert.Equal(t, "Black on Two-colour 26-inch", b.unit("job", 0).Curve.Name)
	after := b.offRun()
	assert.Less(t, after, before/2, "closer by more than half: %.1f points, and %.1f before", after, before)
	assert.Equal(t, run, get[string](b, dashed), "what was run stays to be seen, whatever the curve")
	assert.Contains(t, b.text("#drawing"), "dashed: as run")
	b.step("a curve that was learned")
	t.Logf("keys off by %.2f points before, %.2f after", before, after)
	b.click("#undo")
	assert.InDelta(t, before, b.offRun(), 1e-9)
}

// pupil has somebody begin at a form and set one key beside what stands there.
func (b *tab) pupil(name string, zone int, key string) {
	b.t.Helper()
	b.focus("#learner")
	get[bool](b, `(document.querySelector("#learner").select(), true)`)
	b.press(name)
	b.typeKey(zone, key)
	b.weigh()
}

// beginClass opens the forms of a class.
func beginClass(t *testing.T, word string, s screen) *tab {
	t.Helper()
	b := openOn(t, options(t), s)
	get[bool](b, `(document.querySelector("#class-part").open = true)`)
	b.focus("#class-seed")
	b.press(word + kb.Enter)
	b.atForm(1)
	return b
}

// atForm waits until a form of the class is on the press, to be set by eye.
func (b *tab) atForm(n int) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`document.querySelector("#course-at").textContent === "Form %d of 6" && !document.querySelector("#quiz-part").hidden && document.querySelectorAll("[data-key]").length === 21`, n))
	b.settled()
}

// classList is the class list as it is saved.
func (b *tab) classList() [][]string {
	b.t.Helper()
	rows, err := csv.NewReader(strings.NewReader(string(b.download(func() { b.click("#class-save") })))).ReadAll()
	require.NoError(b.t, err)
	return rows
}

func (b *tab) sums() [][]string {
	b.t.Helper()
	return get[[][]string](b, `[...document.querySelectorAll("#class-table tr")].map((tr) => [...tr.children].map((n) => n.textContent))`)
}

// TestLessonClass plays a class of three pupils and two forms, on two computers: two
// take turns at one, the third's list is read there, and the list sums up all.
func TestLessonClass(t *testing.T) {
	for _, s := range screens {
		t.Run(s.name, func(t *testing.T) { playClass(t, s) })
	}
}

func playClass(t *testing.T, s screen) {
	b := beginClass(t, "Tuesday", s)
	shapes := get[string](b, `JSON.stringify(JSON.parse((dispatchEvent(new Event("pagehide")), sessionStorage.getItem("bladeline"))).shapes)`)
	b.pupil("Anna", 3, "30")
	b.step("a first form")
	b.pupil("Anna", 4, "31")
	b.step("two tries")
	b.click("#pupil-next")
	assert.Equal(t, "25", b.keys()["3"], "with nothing set")
	assert.Empty(t, get[string](b, `document.querySelector("#learner").value`))
	b.pupil("=Ben; \"B\"", 3, "40")
	b.click("#form-next")
	b.atForm(2)
	assert.True(t, get[bool](b, `document.querySelector("#quiz-score").hidden`))
	b.pupil("=Ben; \"B\"", 3, "35")
	b.step("a second form, by another pupil")
	b.click("#form-before")
	b.atForm(1)
	assert.Equal(t, "40", b.keys()["3"], "as it was left")
	b.click("#form-next")
	b.atForm(2)
	b.click("#pupil-next")
	b.atForm(1)
	assert.Equal(t, "25", b.keys()["3"], "from the first form on, with nothing set")
	assert.Equal(t, "learner", get[string](b, `document.activeElement.id`))
	b.click("#form-next")
	b.atForm(2)
	assert.Equal(t, "25", b.keys()["3"])
	b.pupil("Anna", 5, "20")

	list := b.classList()
	require.Len(t, list, 6)
	assert.Equal(t, []string{"pupil", "form", "try", "score", "seconds"}, list[0][:5])
	for i, want := range [][]string{{"Anna", "tuesday 1", "1"}, {"Anna", "tuesday 1", "2"}, {"'=Ben; \"B\"", "tuesday 1", "1"}, {"'=Ben; \"B\"", "tuesday 2", "1"}, {"Anna", "tuesday 2", "1"}} {
		assert.Equal(t, want, list[i+1][:3])
	}

	other := beginClass(t, " tuesday ", desk)
	assert.Equal(t, shapes, get[string](other, `JSON.stringify(JSON.parse((dispatchEvent(new Event("pagehide")), sessionStorage.getItem("bladeline"))).shapes)`), "the same word, the same forms")
	other.pupil("Cleo", 9, "33")
	other.click("#form-next")
	other.atForm(2)
	other.pupil("Cleo", 9, "34")
	theirs := other.classList()
	require.Len(t, theirs, 3)

	read := func(text string) string {
		t.Helper()
		path := filepath.Join(t.TempDir(), "cleo.csv")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		b.do(chromedp.SetUploadFiles(chromedp.CSS("#class-files"), []string{path}))
		b.wait(`document.querySelector("#class-said").textContent.startsWith("cleo.csv")`)
		said := b.text("#class-said")
		get[bool](b, `(document.querySelector("#class-said").textContent = "", true)`)
		return said
	}
	// As a spreadsheet of another country saves it: semicolons, decimal commas, UTF-16.
	var lines []string
	for _, row := range theirs {
		row[3] = strings.Replace(row[3], ".", ",", 1)
		lines = append(lines, strings.Join(row[:5], ";"))
	}
	var wide []byte
	for _, unit := range utf16.Encode([]rune("\ufeff" + strings.Join(lines, "\r\n") + "\r\n")) {
		wide = append(wide, byte(unit), byte(unit>>8))
	}
	assert.Equal(t, "cleo.csv: 2 tries read.", read(string(wide)))
	assert.Equal(t, "cleo.csv: 0 tries read, 2 were there already.", read(string(wide)))
	assert.Equal(t, "cleo.csv: not read: line 4: score is “much”; write a number from 0 to 100.", read("pupil,form,try,score,seconds\n\"a\nb\",f,1,50,2\nc,f,1,much,3\n"))
	assert.Equal(t, "cleo.csv: not read: line 1 has no column try, score, seconds; give a class list as the page saves it.", read("pupil,form\n"))

	b.near("#class-table")
	b.step("the class list")
	sums := b.sums()
	require.Len(t, sums, 5)
	assert.Equal(t, []string{"pupil", "tuesday 1", "tuesday 2", "mean", "minutes"}, sums[0])
	assert.Equal(t, []string{"Anna", "=Ben; \"B\"", "Cleo", "mean"}, []string{sums[1][0], sums[2][0], sums[3][0], sums[4][0]})
	assert.Regexp(t, `^\d+ \(2 tries\)$`, sums[1][1])
	assert.Regexp(t, `^\d+ \(1 try\)$`, sums[3][2])
	b.do(chromedp.Reload())
	b.wait(`document.querySelectorAll("#class-table tr").length === 5`)
	assert.Equal(t, sums, b.sums())
	assert.Empty(t, axeInAllColours(t, b), "axe-core")
	assert.Empty(t, get[[]string](b, nameless))

	get[bool](b, `(document.querySelector("#class-part").open = true)`)
	b.click("#class-clear")
	b.wait(`document.querySelector("#class-sums").hidden`)
	b.click("#class-clear")
	b.wait(`document.querySelectorAll("#class-table tr").length === 5`)
}

// TestNamelessTryGetsItsName weighs before the name is typed, and once more behind it:
// the try is the pupil's. The same keys under another name are another's try. What is
// saved has no figure that no scale shows, and the file bears the class's word.
func TestNamelessTryGetsItsName(t *testing.T) {
	b := beginClass(t, "Tuesday", desk)
	b.typeKey(3, "30")
	b.weigh()
	for _, name := range []string{"Bo", "Cy"} {
		b.pupil(name, 3, "30")
		b.wait(fmt.Sprintf(`document.querySelector("#class-table").textContent.includes(%q)`, name))
		b.click("#quiz-weigh")
		b.settled()
	}
	b.click("#form-next")
	b.atForm(2)
	b.pupil("Cy", 3, "31")
	b.wait(`document.querySelectorAll("#class-table thead th").length === 5`)
	sums := b.sums() // Bo's mean is not of the forms that Cy's is of
	assert.Regexp(t, `^\d+ \(1 of 2 forms\)$`, sums[1][3])
	assert.Regexp(t, `^\d+$`, sums[2][3])
	rows := b.classList()
	require.Len(t, rows, 4)
	for i, who := range []string{"Bo", "Cy", "Cy"} {
		assert.Equal(t, who, rows[i+1][0])
		for _, at := range []int{3, 5, 6} {
			assert.Regexp(t, `^-?\d+(\.\d)?$`, rows[i+1][at], rows[0][at])
		}
	}
	get[bool](b, `(HTMLAnchorElement.prototype.click = function () { window.savedAs = this.download; }, document.querySelector("#class-save").click(), true)`)
	assert.Equal(t, "class list, tuesday.csv", get[string](b, `window.savedAs`))
}

// TestOneTryIsOneEntry weighs by a double click, with no name: it is one try, which is
// kept as no name's until the name is typed, and asks for it. Behind the next pupil it stays
// no name's.
func TestOneTryIsOneEntry(t *testing.T) {
	b := beginClass(t, "Tuesday", desk)
	twice := func() {
		t.Helper()
		x, y := b.at("#quiz-weigh")
		b.do(chromedp.MouseClickXY(x, y, chromedp.ClickCount(2)), chromedp.MouseClickXY(x, y))
		b.wait(`!document.querySelector("#quiz-score").hidden`)
		b.settled()
	}
	tries := func() (pupils []string) {
		for _, row := range b.classList()[1:] {
			pupils = append(pupils, row[0]+" "+row[2])
		}
		return pupils
	}
	b.typeKey(3, "30")
	twice()
	assert.Equal(t, []string{" 1"}, tries())
	assert.Equal(t, "Whose try is this? Type the name; until then the list has it as no name’s.", b.text("#quiz-said"))
	b.typeKey(3, "31")
	b.weigh()
	b.settled()
	assert.Equal(t, []string{" 1", " 2"}, tries())
	b.focus("#learner")
	b.press("Bo" + kb.Tab)
	b.settled()
	assert.Equal(t, []string{"Bo 1", "Bo 2"}, tries(), "with no weighing more")
	assert.Empty(t, b.text("#quiz-said"))
	b.typeKey(3, "32")
	twice()
	assert.Equal(t, []string{"Bo 1", "Bo 2", "Bo 3"}, tries())
	b.click("#pupil-next")
	b.atForm(1)
	b.typeKey(3, "33")
	twice()
	b.click("#pupil-next")
	b.atForm(1)
	b.pupil("Cy", 3, "30")
	assert.Equal(t, []string{"Bo 1", "Bo 2", "Bo 3", " 1", "Cy 1"}, tries())
	assert.Equal(t, "no name", b.sums()[2][0])
}

// TestClassOutlastsALookAtTheKeys ends the exercise to see the computed keys: the class
// stays in view, with a way back to the keys as they were left.
func TestClassOutlastsALookAtTheKeys(t *testing.T) {
	b := beginClass(t, "Tuesday", desk)
	b.typeKey(3, "30")
	b.click("#quiz-end")
	b.wait(`document.querySelector("#quiz-part").hidden`)
	assert.Equal(t, "Form 1 of 6", b.text("#course-at"))
	assert.True(t, get[bool](b, `document.querySelector("#course-at").checkVisibility()`))
	b.click("#course-back")
	b.atForm(1)
	assert.Equal(t, "30", b.keys()["3"])
}

// TestClassNeedsAWord says what to do where none is typed.
func TestClassNeedsAWord(t *testing.T) {
	b := open(t, options(t))
	get[bool](b, `(document.querySelector("#class-part").open = true)`)
	b.click("#class-begin")
	b.wait(`document.querySelector("#class-said").textContent.includes("write one")`)
}
