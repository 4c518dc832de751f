package page

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reads checks that a zone is lit in all its parts, and that what is said of it comes
// out: the curve's opening at the coverage, the sum of the sweep, and the key that stands
// in the box and in the table.
func (b *tab) reads(zone int, in string) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`document.querySelector("#drawing .flag").textContent === "zone %d"`, zone))
	b.settled()
	says := regexp.MustCompile(`^Zone (\d+) is covered ([\d.]+) %` + in + `\. The curve asks an opening of ([\d.]+) % at sweep (\d+) %(?:; at sweep (\d+) % that is ([\d.]+) × 45 ÷ (\d+) = ([\d.]+) %)?(?:, [^.]+)?\. Key: (\d+) %\.$`)
	m := says.FindStringSubmatch(b.text("#why"))
	require.NotNil(b.t, m, b.text("#why"))
	n := make([]float64, len(m))
	for i := range m {
		n[i], _ = strconv.ParseFloat(m[i], 64)
	}
	assert.Equal(b.t, strconv.Itoa(zone), m[1])
	curve, err := job.LoadCurve("coated")
	require.NoError(b.t, err)
	slope := curve.At(n[2]+0.05) - curve.At(max(0, n[2]-0.05)) // of the coverage's last figure
	assert.InDelta(b.t, curve.At(n[2]), n[3], slope+0.05, "the curve")
	assert.Equal(b.t, 45.0, n[4])
	if m[5] != "" {
		assert.Equal(b.t, m[3], m[6])
		assert.Equal(b.t, m[5], m[7])
		assert.InDelta(b.t, n[3]*45/n[5], n[8], 0.05001, "the sum")
	}
	if in == "" {
		assert.Equal(b.t, m[9], b.keys()[m[1]], "the box")
		assert.Equal(b.t, []string{m[2], m[9]}, get[[]string](b, fmt.Sprintf(`[2, 5].map((n) => document.querySelector("#rows tr[data-zone='%d'] :nth-child(" + n + ")").textContent)`, zone)), "the table")
		assert.Equal(b.t, fmt.Sprintf("strip%[1]d gap%[1]d key%[1]d column%[1]d dot%[1]d row%[1]d", zone), get[string](b, lit))
	}
}

// TestLessonPointing is a lesson: wherever a zone is pointed at, on the form, in the
// blade, on the curve, in the table and in a warning, all its parts are lit, and a
// sentence says why its key wants what it wants; the image is gathered to its coverage
// and led to its opening; and sweep and ink change what the sentence says.
func TestLessonPointing(t *testing.T) {
	harbour := func(t *testing.T) Options { return options(t, harbourFair()...) }
	onScreens(t, harbour, func(t *testing.T, b *tab) {
		b.wait(`document.querySelector(".plates image")`)
		assert.Equal(t, "Point at a zone, or move to it with the arrow keys, to see why its key wants what it wants.", b.text("#why"))
		b.sees("#why", ".plate", "#sweep")
		b.step("begin")

		b.point(`.strip[data-zone="9"]`)
		b.reads(9, "")
		b.sees("#why", "#lesson-play", "#relation")
		assert.Regexp(t, `^zone 9`, b.text(".along"), "its demand along the sheet")
		b.step("a zone of the form")

		b.click("#lesson-play")
		b.wait(`document.querySelector("#lesson-play").textContent === "Once more"`)
		covered := regexp.MustCompile(`covered ([\d.]+ %)`).FindStringSubmatch(b.text("#why"))[1]
		assert.Contains(t, b.text(".along"), covered, "the block is the coverage")
		assert.Regexp(t, `^zone 9: `+covered[:len(covered)-2]+` → [\d.]+ %$`, get[string](b, `document.querySelector("#relation .flag").textContent`))
		assert.True(t, get[bool](b, `document.querySelector(".along .gathered + .flag").getBoundingClientRect().left > document.querySelector('.strip[data-zone="9"]').getBoundingClientRect().right`), "its figure stands beside the zone's frame")
		b.step("from image to key")
		b.click("#lesson-end")

		b.point(`g.key[data-zone="14"] .key-box`)
		b.reads(14, "")
		b.step("a key")
		b.point(`.dot[data-zone="19"]`)
		b.reads(19, "")
		b.step("a dot of the curve")
		if !b.screen.byFinger {
			b.focus(`.column[data-zone="19"]`)
			b.press(kb.ArrowRight)
			b.reads(20, "")
			b.step("the next zone")
		}
		b.point(`#rows tr[data-zone="4"]`)
		b.reads(4, "")
		b.step("a row of the table")

		assert.Equal(t, get[int](b, `document.querySelectorAll("#warnings li").length`), get[int](b, `parseInt(document.querySelector("#warned").textContent)`))
		b.point("#warned")
		b.click("#warned")
		b.sees("#warnings li")
		warned := get[int](b, `Number(document.querySelector("#warnings li[data-zone]").dataset.zone)`)
		b.point("#warnings li[data-zone]")
		b.reads(warned, "")
		assert.Regexp(t, fmt.Sprintf(`^Zone %d: `, warned), b.text("#warnings li[data-zone]"))
		b.step("a warning")

		get[bool](b, `(scrollTo(0, 0), true)`)
		b.point(`.strip[data-zone="9"]`)
		b.slide(17)
		b.settled()
		b.reads(9, "")
		assert.Contains(t, b.text("#why"), "; at sweep 27 % that is ")
		assert.Equal(t, "× 45 ÷ 27", get[string](b, `document.querySelectorAll("#relation .flag")[1].textContent`))
		b.step("another sweep")
		before := b.text("#why")
		b.click(`[data-unit="2"]`)
		b.point(`.strip[data-zone="9"]`)
		b.reads(9, "")
		assert.NotEqual(t, before, b.text("#why"))
		b.step("another ink")
		b.click(`[data-unit="-1"]`)
		b.wait(`document.querySelectorAll(".unit-title").length === 5`)
		b.point(`.strip[data-zone="9"]`)
		b.reads(9, " in Cyan")
		b.step("all inks")
		b.press(kb.Escape)
		b.wait(`document.querySelectorAll(".lit").length === 0`)
	})
}
