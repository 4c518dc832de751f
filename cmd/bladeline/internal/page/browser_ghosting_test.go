package page

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pullsUp pulls a shape up on the plate, with a mouse or a finger.
func (b *tab) pullsUp(u, v, toU, toV float64) {
	b.t.Helper()
	if !b.screen.byFinger {
		b.pull(u, v, toU, toV)
		return
	}
	x, y := b.on(u, v)
	toX, toY := b.on(toU, toV)
	b.swipe(finger{x, y}, toX-x, toY-y)
	b.settled()
}

// types writes the numbers of a shape of the ink that is seen, which is added where
// there is none yet: from left, from lead, width, length and tint, in %.
func (b *tab) types(shape int, numbers ...float64) {
	b.t.Helper()
	if shape == len(b.shapes()) {
		b.click("#shape-add")
		b.settled()
	}
	get[bool](b, `(document.querySelector("#shapes-part").open = true)`)
	for i, v := range numbers {
		get[bool](b, fmt.Sprintf(`((n) => { n.value = %g; n.dispatchEvent(new Event("change")); return true; })(document.querySelectorAll("#shapes tr")[%d].querySelectorAll("input")[%d])`, v, shape, i))
	}
	b.settled()
	assert.Equal(b.t, numbers, b.shapes()[shape])
}

// rehearsal is what it says, one sentence a line, once all is worked out and said.
func (b *tab) rehearsal() string {
	b.t.Helper()
	b.wait(`document.querySelector("#rehearse-films image") && document.querySelector("#run-clean svg")`)
	b.settled()
	b.wait(`/is taken to be right\.|Nothing prints/.test(document.querySelector("#rehearse-says").textContent)`)
	return get[string](b, `[...document.querySelectorAll("#rehearse-says li")].map((n) => n.textContent).join("\n")`)
}

var (
	ghostSays = regexp.MustCompile(`orm (\d) brings a ghost of the edge at (\d+) mm back at (\d+) mm, zones? [^%]*[+-](\d+) % of film`)
	startSays = regexp.MustCompile(`(?:after|sheet) (?:about )?(\d+)`)
)

// TestLessonGhosting is a lesson: a form that ghosts is drawn, by hand and by numbers, in
// two inks. One warns of uneven demand, the other of little image, which a take-off bar
// cures. The rehearsal shows the ghost, which no bar cures, and that it goes where the
// block stands at the tail.
func TestLessonGhosting(t *testing.T) {
	none := func(t *testing.T) Options { return options(t) }
	onScreens(t, none, func(t *testing.T, b *tab) {
		b.set("welcome-press", "duplicator")
		b.step("begin")
		b.click("#to-draw")
		b.wait(`document.querySelectorAll("g.key").length === 15`)
		b.settled()
		assert.Equal(t, "nothing is drawn yet: draw a shape, or begin with a prepared form", b.text("#warnings"))
		b.sees(".plate", `[data-form="band"]`, `[data-tint="100"]`, "#shape-add", "#ink-add", "#warned")
		b.step("a bare plate")

		b.pullsUp(0.2, 0.1, 0.8, 0.22)
		require.Len(t, b.shapes(), 1)
		assert.InDeltaSlice(t, []float64{20, 10, 60, 12, 100}, b.shapes()[0], 0.6)
		b.step("a block by hand")
		b.types(0, 20, 10, 60, 12, 100)
		b.types(1, 5, 30, 90, 60, 10)
		b.point(`.strip[data-zone="7"]`)
		assert.Regexp(t, `^Zone 7: uneven demand along the print direction in zones 4 to 12; .* starvation or ghosting may follow; turning or re-imposing the form, or a take-off bar, may help$`, b.text("#warnings"))
		assert.Equal(t, "1 warning", b.text("#warned"))
		assert.Contains(t, b.text(".along"), "tenth: 100 %", "the block is the tenth that is warned of")
		b.step("a tint by numbers")

		b.near("#ink-new")
		b.focus("#ink-new")
		b.press("Harbour Red")
		b.click("#ink-add")
		b.wait(`document.querySelector("#paint-said").textContent === "Harbour Red has a plate of its own now."`)
		b.step("a second ink")
		b.click(`[data-unit="1"]`)
		b.wait(`document.querySelector("#ink").textContent === "Harbour Red"`)
		b.settled()
		assert.Empty(t, b.shapes())
		b.types(0, 10, 20, 80, 0.3, 100)
		b.point(`.strip[data-zone="8"]`)
		assert.Regexp(t, `^Zone \d+: little image in zones 3 to 13 \(worst \d+\), covered 0\.\d %, .*: ink that is not taken off stays on the rollers and takes up water; solid take-off bars 5 mm long in the print direction would take up enough$`, b.text("#warnings"))
		assert.Contains(t, b.text(".along"), "bar: 5 mm")
		b.step("a rule that takes off little")
		b.click(`[data-unit="-1"]`)
		b.wait(`document.querySelectorAll(".unit-title").length === 2`)
		b.step("both inks")

		b.click(`[data-unit="1"]`)
		b.click("#rehearse")
		before := b.rehearsal()
		b.step("the rule rehearsed")
		b.types(1, 0, 97, 100, 3, 100)
		after := b.rehearsal()
		assert.NotContains(t, b.text("#warnings"), "little image")
		assert.Less(t, number(t, startSays, after), number(t, startSays, before), "colour stands in fewer sheets")
		b.step("a take-off bar")

		b.click(`[data-unit="0"]`)
		ghost := func(end float64) {
			t.Helper()
			m := ghostSays.FindStringSubmatch(b.rehearsal())
			require.NotNil(t, m, b.rehearsal())
			from, turn := parsed(t, m[2]), math.Pi*map[string]float64{"1": 44, "2": 48}[m[1]]
			assert.InDelta(t, end, from, 3, "where the block begins or ends, to a slot of the train: "+m[0])
			assert.InDelta(t, turn, parsed(t, m[3])-from, 3, "a turn of that form, a circle's circumference: "+m[0])
			assert.GreaterOrEqual(t, parsed(t, m[4]), 4.0, m[0])
		}
		ghost(0.22 * 420)
		b.step("the ghost")
		b.types(2, 0, 95, 100, 5, 100)
		ghost(0.1 * 420)
		b.step("a bar does not cure it")
		b.click("#shape-remove")
		b.types(0, 20, 78, 60, 12, 100)
		b.types(1, 5, 10, 90, 60, 10)
		assert.NotRegexp(t, ghostSays, b.rehearsal())
		b.step("the block at the tail")
	})
}

func number(t *testing.T, in *regexp.Regexp, text string) float64 {
	t.Helper()
	m := in.FindStringSubmatch(text)
	require.NotNil(t, m, text)
	return parsed(t, m[1])
}

func parsed(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}
