package sheet

import (
	"slices"
	"testing"

	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// okPreset is a preset of eight keys of 3 turns, of which the sheet shows what was
// run: the first a quarter turn wider, the second as preset, the third not read, and
// so on.
func okPreset(t *testing.T) (*preset.Preset, *press.Press) {
	on := pressOf(8, press.Turn, press.Segmented)
	p, _ := presetOf(t, on, 30)
	u := &p.Units[0]
	u.OKSweep = new(36.0)
	for i := range u.Keys {
		switch k := &u.Keys[i]; i % 3 {
		case 0:
			k.OKKey = new(k.Key + 0.25)
		case 1:
			k.OKKey = new(k.Key)
		}
	}
	return p, on
}

func textsOf(p *Page) []string {
	var texts []string
	for _, m := range p.Marks {
		if text, is := m.(Text); is {
			texts = append(texts, text.Text)
		}
	}
	return texts
}

// A quarter turn of 3 turns is 1/12 of the travel, and is drawn so.
func TestSheetOfARun(t *testing.T) {
	p, on := okPreset(t)
	page := pagesOf(t, p, Options{Press: on})[0]
	assert.Equal(t, job+" – Black, as run", page.Title)
	texts := textsOf(page)
	for _, want := range []string{"AS RUN", "36 %", "preset 30 %", "run, turns", "preset", "OK key", "Not read"} {
		assert.Contains(t, texts, want)
	}
	assert.NotContains(t, texts, "held by")
	assert.Equal(t, 2, len(slices.DeleteFunc(slices.Clone(texts), func(s string) bool { return s != notRead })), "zones 3 and 6 were not read")
	for _, k := range p.Units[0].Keys {
		assert.Contains(t, texts, k.KeyText, "the preset stands beside")
	}

	s := &sheet{Page: page, preset: p, unit: &p.Units[0], options: Options{Press: on}, keys: leftToRight(p, &p.Units[0])}
	s.setRun()
	s.plan = s.planned(nil)
	gaps := drawnGaps(s)
	for i, k := range p.Units[0].Keys {
		want := k.OpeningPct
		if i%3 == 0 {
			want += 100.0 / 12
		}
		assert.InDelta(t, want/100*s.plan.gap, gaps[i], 1e-9, "zone %d", k.Zone)
		assert.Equal(t, i%3 == 2, s.run.unread[i])
	}

	p.Date = new("2026-11-26")
	assert.Contains(t, textsOf(pagesOf(t, p, Options{Press: on})[0]), "AS RUN 2026-11-26")
}

// Without the press the travel follows from the preset's keys, within the rounding
// of their steps; an ink that the file says nothing of is drawn as preset.
func TestSheetOfARunWithoutItsPress(t *testing.T) {
	p, on := okPreset(t)
	exact, about := p.Units[0].OpeningsRun(on.Keys.Travel), p.Units[0].OpeningsRun(0)
	for i, opening := range exact {
		if opening == nil {
			assert.Nil(t, about[i])
			continue
		}
		assert.InDelta(t, *opening, *about[i], 0.5)
	}
	other := p.AsPreset().Units[0]
	other.Ink = "Cyan"
	p.Units = append(p.Units, other)
	pages := pagesOf(t, p, Options{})
	require.Len(t, pages, 2)
	assert.Contains(t, textsOf(pages[0]), "AS RUN")
	assert.NotContains(t, textsOf(pages[1]), "AS RUN")
	assert.Contains(t, textsOf(pages[1]), "As preset")
}

// A ratchet of 12 notches is common, and two figures of them must be read whole.
func TestSweepOfTwoFiguresIsWhole(t *testing.T) {
	p, on := okPreset(t)
	p.Press.SweepUnit = "notch"
	p.Units[0].Sweep, p.Units[0].OKSweep = 12, new(10.0)
	assert.Contains(t, textsOf(pagesOf(t, p, Options{Press: on})[0]), "10 notches")

	c := changeOf(t, 8, press.Turn)
	c.Steps[0].Units[0].Sweep, c.Steps[0].Units[0].SweepWas = 12, new(10.0)
	assert.Contains(t, textsOf(changePages(t, c, ChangeOptions{PageSize: A4})[0]), "10 → 12 notches")
}
