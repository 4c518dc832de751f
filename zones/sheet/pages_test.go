package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func pagesOf(t require.TestingT, p *preset.Preset, o Options) []*Page {
	pages, err := Pages(p, o)
	require.NoError(t, err)
	return pages
}

func pdfOf(t require.TestingT, pages []*Page) []byte {
	var b bytes.Buffer
	require.NoError(t, WritePDF(&b, pages))
	return b.Bytes()
}

func svgOf(t require.TestingT, p *Page) []byte {
	var b bytes.Buffer
	require.NoError(t, WriteSVG(&b, p))
	return b.Bytes()
}

// clash is the first text that leaves the page's margins or touches another.
func clash(p *Page) string {
	var texts []Text
	var boxes []Box
	for _, m := range p.Marks {
		t, is := m.(Text)
		if !is {
			continue
		}
		b := t.BoxMM()
		if b.Left < marginMM-1 || b.Top < marginMM-1 || b.Right > p.WidthMM-marginMM+1 || b.Bottom > p.HeightMM-marginMM+1 {
			return fmt.Sprintf("%q leaves the page: %.2v", t.Text, b)
		}
		for i, o := range boxes {
			if b.Left < o.Right && o.Left < b.Right && b.Top < o.Bottom && o.Top < b.Bottom {
				return fmt.Sprintf("%q and %q overlap: %.2v, %.2v", texts[i].Text, t.Text, o, b)
			}
		}
		texts, boxes = append(texts, t), append(boxes, b)
	}
	return ""
}

func TestClashIsFound(t *testing.T) {
	p := &Page{WidthMM: 100, HeightMM: 100}
	p.text(20, 20, "Ollerquay", 10, false, fromLeft)
	assert.Empty(t, clash(p))
	p.text(30, 21, "fair", 10, false, fromLeft)
	assert.Contains(t, clash(p), "overlap")
	p = &Page{WidthMM: 30, HeightMM: 30}
	p.text(20, 20, "Ollerquay", 10, false, fromLeft)
	assert.Contains(t, clash(p), "leaves")
}

func TestTextsKeepApartOnEveryPage(t *testing.T) {
	for _, l := range looks(t) {
		assert.Empty(t, clash(pagesOf(t, l.preset, l.Options)[0]), l.name)
	}
	for n := 1; n <= MaxZones; n++ {
		for _, unit := range []press.KeyUnit{press.Percent, press.Turn} {
			p, o := presetOf(t, pressOf(n, unit, press.Segmented), 30)
			o.PageSize = Letter
			if n%2 == 0 {
				o.Forms = nil
			}
			require.Empty(t, clash(pagesOf(t, p, o)[0]), "%d zones, %s", n, unit)
		}
	}
}

// Characters of 2.5 mm are about what is read at a metre (common practice, no
// source); figures are 0.72 of the type's size high.
func TestKeysAreLegible(t *testing.T) {
	for _, l := range looks(t) {
		keys := map[string]bool{notRead: true}
		for _, k := range l.preset.Units[0].Keys {
			keys[k.KeyText] = true
			if k.OKKey != nil {
				keys[press.KeyText(l.preset.Press.KeyUnit, *k.OKKey)] = true
			}
		}
		seen := 0
		for _, m := range pagesOf(t, l.preset, l.Options)[0].Marks {
			if text, is := m.(Text); is && text.Bold && keys[text.Text] && text.SizePT >= 9.8 {
				seen++
			}
		}
		assert.GreaterOrEqual(t, seen, len(l.preset.Units[0].Keys), "%s: keys of 2.5 mm and more", l.name)
	}
}

// drawnGaps are the gaps over the keys' middles, mm, measured on the blade's
// upper side as drawn.
func drawnGaps(s *sheet) []float64 {
	pieces := s.blade()
	gaps := make([]float64, len(s.keys))
	for i := range gaps {
		for _, piece := range pieces {
			for j := range len(piece) - 1 {
				a, b := piece[j], piece[j+1]
				if x := s.plan.middle(i); x >= a.X-1e-9 && x <= b.X+1e-9 {
					gaps[i] = a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X) - s.plan.edge
				}
			}
		}
	}
	return gaps
}

func TestGapIsProportionalToOpening(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, MaxZones).Draw(t, "zones")
		u := preset.Unit{Ink: "Cyan", Sweep: 40}
		for zone := range n {
			opening := rapid.Float64Range(0, 100).Draw(t, "opening")
			u.Keys = append(u.Keys, preset.Key{Zone: zone + 1, OpeningPct: opening, KeyText: "1", State: curves.Set})
		}
		p := &preset.Preset{Press: preset.StatedPress{Name: "Hall press", Zones: n, KeyUnit: press.Percent, SweepUnit: "%"}, Units: []preset.Unit{u}}
		p.Press.Blade = new(rapid.SampledFrom([]press.Blade{press.Segmented, press.OnePiece}).Draw(t, "blade"))
		s := &sheet{Page: &Page{WidthMM: 297, HeightMM: 210}, preset: p, unit: &p.Units[0], keys: u.Keys}
		require.NoError(t, s.draw())
		for i, gap := range drawnGaps(s) {
			require.InDelta(t, u.Keys[i].OpeningPct/100*s.plan.gap, gap, 1e-9)
		}
		for _, piece := range s.blade() {
			for _, at := range piece {
				require.GreaterOrEqual(t, at.Y, s.plan.edge, "the blade never enters the roller")
				require.LessOrEqual(t, at.Y, s.plan.edge+s.plan.gap+1e-9)
			}
		}
		// What is drawn is that line: ink from the roller to it.
		require.Contains(t, s.Marks, Mark(Polygon{
			Points: append(append([]Point{{s.blade()[0][0].X, s.plan.edge}}, s.blade()[0]...), Point{s.blade()[0][len(s.blade()[0])-1].X, s.plan.edge}),
			Fill:   new(Black),
		}))
		require.Contains(t, allText(s.Page), fmt.Sprintf("%.0f mm", s.plan.gap))
	})
}

func allText(p *Page) string {
	var words []string
	for _, m := range p.Marks {
		if t, is := m.(Text); is {
			words = append(words, t.Text)
		}
	}
	return strings.Join(words, " ")
}

func TestSheetSays(t *testing.T) {
	p, o := presetOf(t, pressOf(15, press.Turn, press.OnePiece), 20)
	p.Warnings = append(p.Warnings, zones.Warning{Ink: "black", Code: "take-off", Text: "little ink is taken"}, zones.Warning{Ink: "Cyan", Code: "other", Text: "of another ink"})
	text := allText(pagesOf(t, p, o)[0])
	for _, want := range []string{
		"Black", job, "Two-colour 26-inch", "20 %", "OK sweep", "OK key", "gripper edge (lead edge), nearest you", "tail edge", "left end, zone 1", "right end, zone 15",
		"covered 21.2 % on average", "clockwise closes, counter-clockwise opens", "begin at the centre, work to both edges",
		"C: at the ceiling", "N: held by a neighbour", "412 g for 5,000 sheets", "you set 20 %", "little ink is taken",
		"your eye and the densitometer decide", "stop the press and make it safe", "Never screw a key hard",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "of another ink")
}

// A sheet says which way screws turn where they are turned by hand, as its press
// has it; and where keys are shut, if they do not all show 0 there.
func TestSheetSaysWhereKeysAreShut(t *testing.T) {
	on := pressOf(15, press.Turn, press.OnePiece)
	p, o := presetOf(t, on, 20)
	assert.NotContains(t, allText(pagesOf(t, p, o)[0]), "shut at")
	on.Keys.Zero = make([]float64, 15)
	on.Keys.Zero[14], on.Keys.Clockwise = 0.25, press.Opens
	p, o = presetOf(t, on, 20)
	text := allText(pagesOf(t, p, o)[0])
	for _, want := range []string{"shut at", "2 1/4 0 0 0", "clockwise opens, counter-clockwise closes", "Clockwise opens: more ink.", "each key's own", "0 1/4"} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "from shut")
	percent, o := presetOf(t, pressOf(15, press.Percent, press.Segmented), 20)
	assert.NotContains(t, strings.ToLower(allText(pagesOf(t, percent, o)[0])), "clockwise")
}

// Where there is much to say the picture gives way, so that it is said.
func TestMuchToSay(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	pictureMM := func() float64 {
		for _, m := range pagesOf(t, p, o)[0].Marks {
			if picture, is := m.(Picture); is {
				return picture.Box.Bottom - picture.Box.Top
			}
		}
		return 0
	}
	before := pictureMM()
	for i := range 5 {
		p.Warnings = append(p.Warnings, zones.Warning{Ink: "Black", Code: "uneven", Text: strings.Repeat("starvation and ghosting may follow; ", 5) + fmt.Sprint("that was ", i)})
	}
	text := allText(pagesOf(t, p, o)[0])
	for i := range 5 {
		assert.Contains(t, text, fmt.Sprint("that was ", i))
	}
	assert.Contains(t, text, "412 g for 5,000 sheets")
	assert.NotContains(t, text, "lines more")
	after := pictureMM()
	assert.Less(t, after, before)
	assert.Greater(t, after, before/2)
}

func TestZonesFromTheRight(t *testing.T) {
	on := pressOf(15, press.Percent, press.Segmented)
	on.Fountain.FirstZone = press.Right
	p, o := presetOf(t, on, 30)
	text := allText(pagesOf(t, p, o)[0])
	assert.Contains(t, text, "15 14 13 12 11 10 9 8 7 6 5 4 3 2 1")
	assert.Contains(t, text, "left end, zone 15")

	p.Press.FirstZone = nil // as from CSV: the zones' places say it
	assert.Contains(t, allText(pagesOf(t, p, Options{})[0]), "left end, zone 15")
	assert.Contains(t, allText(pagesOf(t, bare(t).preset, Options{})[0]), "not stated")
}

func TestZoneRanges(t *testing.T) {
	keys := func(states string) (keys []preset.Key) {
		for i, c := range states {
			keys = append(keys, preset.Key{Zone: i + 1, State: map[rune]curves.State{'.': curves.Set, 'F': curves.Floor}[c]})
		}
		return keys
	}
	for states, want := range map[string]string{
		"...": "", "F..": "Zone 1", "FFF": "Zones 1–3", "F.F": "Zones 1 and 3", "FF.F.FF": "Zones 1–2, 4 and 6–7",
	} {
		assert.Equal(t, want, zoneRanges(keys(states), func(k preset.Key) bool { return k.State == curves.Floor }), states)
	}
}

func TestPagesRefuses(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	refused := func(o Options) string {
		_, err := Pages(p, o)
		require.Error(t, err)
		return err.Error()
	}
	assert.Equal(t, `page size "a3" is not known; give a4 or letter`, refused(Options{PageSize: "a3"}))
	wrong := lay(t, sample(), pressOf(21, press.Percent, press.Segmented), zones.Placement{Mirrored: true})
	assert.Regexp(t, `^fair_K.tif: ink Black: zone \d+ is covered .* in the preset$`, refused(Options{Forms: map[string]*zones.Form{"Black": wrong}}))
	narrow := lay(t, sample(), pressOf(32, press.Percent, press.Segmented), zones.Placement{})
	assert.Equal(t, "ink Black: the form lies over 32 zones, and the preset has 21; lay it on the preset's press", refused(Options{Forms: map[string]*zones.Form{"Black": narrow}}))
	keyless := *p
	keyless.Units = []preset.Unit{{Ink: "Black", Sweep: 30}}
	_, err := Pages(&keyless, Options{})
	assert.EqualError(t, err, "units[0].keys: ink \"Black\" has 0 keys where the press has 21 zones; every zone has one")
	_, err = PressUnder(&keyless, &keyless.Units[0])
	assert.ErrorContains(t, err, "has 0 keys")
	assert.ErrorContains(t, CheckForm(&keyless, &keyless.Units[0], o.Forms["Black"]), "has 0 keys")
	on, err := PressUnder(p, &p.Units[0])
	require.NoError(t, err)
	assert.NoError(t, CheckForm(p, &p.Units[0], lay(t, sample(), on, zones.Placement{})))
	assert.ErrorAs(t, CheckForm(p, &p.Units[0], wrong), new(*OtherFormError))
	_, err = Pages(nil, Options{})
	assert.Error(t, err)
	p.Press.FirstZone = nil
	assert.Contains(t, refused(o), "give the preset's JSON")
	p.Press.Zones = 65
	assert.Equal(t, "press.zones: 65 zones do not fit a sheet legibly, it takes up to 64; use the table or CSV", refused(Options{}))
	assert.Error(t, WritePDF(io.Discard, nil))
}

// A press with a print length takes its zones' coverage over that, not over the
// raster's length.
func TestFitsWhateverThePrintLength(t *testing.T) {
	on := pressOf(21, press.Percent, press.Segmented)
	on.PrintLengthMM = 600
	p, o := presetOf(t, on, 30)
	assert.NoError(t, checkPresetFrom(p, &p.Units[0], o.Forms["Black"]))
	p.Units[0].Keys[9].CoveragePct++
	assert.Error(t, checkPresetFrom(p, &p.Units[0], o.Forms["Black"]))
}

func TestNamesInAnyLetters(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	p.Job, p.Press.Name = "Ølbåden – Čaj & <чай> 港 🚢", `"Hall" press`
	page := pagesOf(t, p, o)[0]
	assert.Contains(t, allText(page), "Ølbåden – Čaj & <чай> □ □")
	assert.Empty(t, clash(page))
	assert.NotEmpty(t, pdfOf(t, []*Page{page}))
	assert.Contains(t, svgTexts(t, svgOf(t, page)), "Ølbåden – Čaj & <чай> □ □")
}

// svgTexts are the texts of an SVG, as the standard library's XML reader finds
// them; it refuses what is not well-formed.
func svgTexts(t *testing.T, svg []byte) string {
	var words []string
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return strings.Join(words, " ")
		}
		require.NoError(t, err)
		if text, is := token.(xml.CharData); is {
			words = append(words, string(text))
		}
	}
}

func TestCut(t *testing.T) {
	assert.Equal(t, "quay", shortened("quay", 10, false, 100))
	short := shortened("the harbour fair", 10, false, 15)
	assert.True(t, strings.HasSuffix(short, "…"), short)
	assert.LessOrEqual(t, widthMM(short, 10, false), 15.0)
	assert.Equal(t, "…", shortened("harbour", 10, false, 0.1))
	assert.Equal(t, []string{"one two", "three"}, wrap(" one  two three", 10, widthMM("one two t", 10, false), mostLines))
}

// shortenedNaive takes letters off one by one until what is left fits.
func shortenedNaive(s string, sizePT float64, bold bool, mostMM float64) string {
	letters := []rune(s)
	for n := len(letters); n > 0; n-- {
		short := s
		if n < len(letters) {
			short = strings.TrimRight(string(letters[:n]), " ") + string(ellipsis)
		}
		if widthMM(short, sizePT, bold) <= mostMM {
			return short
		}
	}
	return string(ellipsis)
}

func TestCutEqualsNaive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := shown(rapid.StringOfN(rapid.SampledFrom([]rune("il mW …é\u0301\u200b墨")), 1, 30, -1).Draw(t, "text"))
		size, bold := rapid.Float64Range(1, 40).Draw(t, "size"), rapid.Bool().Draw(t, "bold")
		most := rapid.Float64Range(0, 1.2).Draw(t, "place") * widthMM(s, size, bold)
		assert.Equal(t, shortenedNaive(s, size, bold, most), shortened(s, size, bold, most))
	})
}

// TestEndlessNames draws names of a million letters: what does not fit is not
// set, so they take no longer than they take to read.
func TestEndlessNames(t *testing.T) {
	for _, letter := range []string{"n", "quay ", "\u0301"} {
		endless := strings.Repeat(letter, 1_000_000/len(letter))
		p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 45)
		o.Forms, o.Inks = nil, nil
		p.Units[0].Ink, p.Job, p.Press.Name, p.Press.SweepUnit, p.Units[0].Curve = endless, endless, endless, endless, &endless
		begin := time.Now()
		page := pagesOf(t, p, o)[0]
		assert.Empty(t, clash(page))
		for _, m := range page.Marks {
			if text, is := m.(Text); is {
				assert.Less(t, len(text.Text), 1000)
			}
		}
		assert.Less(t, len(svgOf(t, page)), 1_000_000)
		require.NotEmpty(t, pdfOf(t, []*Page{page}))
		assert.Less(t, time.Since(begin), 20*time.Second, "seconds where letters were taken off one by one: days")
	}
}

// Whatever a preset may hold, there is a page, and it can be read.
func TestOddPresets(t *testing.T) {
	for name, change := range map[string]func(*preset.Preset, *Options){
		"long keys": func(p *preset.Preset, _ *Options) {
			k := &p.Units[0].Keys[3]
			k.Key, k.KeyText = 99_999_999.123456789, "99999999.123456789012345678"
		},
		"long sweep":       func(p *preset.Preset, _ *Options) { p.Units[0].Sweep, p.Press.SweepUnit = 987_654.321098765, longName },
		"letters unknown":  func(p *preset.Preset, _ *Options) { p.Units[0].Ink, p.Job = "墨", "墨" },
		"one endless word": func(p *preset.Preset, _ *Options) { p.Units[0].Curve = new(strings.Repeat("quay", 400)) },
		"all open": func(p *preset.Preset, _ *Options) {
			for i := range p.Units[0].Keys {
				p.Units[0].Keys[i].OpeningPct = 100
			}
		},
		"all shut": func(p *preset.Preset, _ *Options) {
			for i := range p.Units[0].Keys {
				p.Units[0].Keys[i].OpeningPct = 0
			}
		},
	} {
		p, o := presetOf(t, pressOf(64, press.Turn, press.OnePiece), 30)
		change(p, &o)
		page := pagesOf(t, p, o)[0]
		assert.Empty(t, clash(page), name)
		require.NotEmpty(t, pdfOf(t, []*Page{page}), name)
		require.NotEmpty(t, svgTexts(t, svgOf(t, page)), name)
	}
}

// A form that reaches over the fountain's ends is cut off there; one beside it
// is not drawn.
func TestFormStaysOverTheFountain(t *testing.T) {
	blank := &coverage.Map{
		Ink: "Black", File: "blank.tif", Page: 1, Channel: 1, Width: 200, Height: 100, DPIX: 50.8, DPIY: 50.8, Full: 1,
		Columns: make([]uint64, 200), Rows: make([]uint64, 100),
		Cells: coverage.Cells{X: []int{0, 100, 200}, Y: []int{0, 100}, Ink: []uint32{0, 0}},
	}
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	for i := range p.Units[0].Keys {
		p.Units[0].Keys[i].CoveragePct = 0
	}
	for shiftMM, pictures := range map[float64]int{0: 1, 300: 1, 370: 1, -370: 1, 383.6: 0, -383.6: 0} {
		o.Forms["Black"] = lay(t, blank, pressOf(21, press.Percent, press.Segmented), zones.Placement{ShiftMM: shiftMM})
		page := pagesOf(t, p, o)[0]
		count := 0
		for _, m := range page.Marks {
			if picture, is := m.(Picture); is {
				count++
				assert.GreaterOrEqual(t, picture.Box.Left, marginMM+gutterMM-1e-9)
				assert.LessOrEqual(t, picture.Box.Right, 297.0-marginMM-endMM+1e-9)
				assert.Less(t, picture.Box.Left, picture.Box.Right)
			}
		}
		assert.Equal(t, pictures, count, "shifted by %g mm", shiftMM)
		assert.NotEmpty(t, pdfOf(t, []*Page{page}))
	}
}
