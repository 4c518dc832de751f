package press

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var (
	percentKeys = KeyScale{Unit: Percent, Travel: 100, Step: 1}
	eighths     = KeyScale{Unit: Turn, Travel: 3, Step: 0.125}
)

func TestKey(t *testing.T) {
	for _, tc := range []struct {
		scale   KeyScale
		opening float64
		key     float64
		text    string
	}{
		{percentKeys, 12.4, 12, "12"},
		{percentKeys, 12.5, 13, "13"},
		{percentKeys, 12.499999999999, 13, "13"}, // a half that went through binary fractions
		{percentKeys, 12.49999, 12, "12"},
		{percentKeys, 100, 100, "100"},
		{KeyScale{Unit: Percent, Travel: 100, Step: 0.1}, 12.34, 12.3, "12.3"},
		{KeyScale{Unit: Notch, Travel: 24, Step: 0.5}, 33, 8, "8"}, // 7.92
		{KeyScale{Unit: Notch, Travel: 24, Step: 5}, 90, 20, "20"}, // 21.6
		{eighths, 0, 0, "0"},
		{eighths, 12.5, 0.375, "3/8"},
		{eighths, 45, 1.375, "1 3/8"}, // 1.35
		{eighths, 200.0 / 3, 2, "2"},
		{eighths, 50, 1.5, "1 1/2"},
		{KeyScale{Unit: Turn, Travel: 1.5, Step: 0.3}, 60, 0.9, "0.9"}, // 1/0.3 is no whole number
		{KeyScale{Unit: Turn, Travel: 2, Step: 0.1}, 15, 0.3, "3/10"},
		{KeyScale{Unit: Turn, Travel: 2, Step: 0.5}, 100, 2, "2"},
	} {
		key := tc.scale.Key(1, tc.opening)
		assert.Equal(t, tc.key, key, "%+v at %g %%", tc.scale, tc.opening)
		assert.Equal(t, tc.text, tc.scale.Text(key))
	}
}

// The indicated setting of a key differs from its true opening by an offset of
// its own (US 6,318,260, abstract).
func TestKeysOwnZero(t *testing.T) {
	s := eighths
	s.Zero = []float64{0, -0.25, 0.125}
	assert.Equal(t, 1.5, s.Key(1, 50))
	assert.Equal(t, 1.25, s.Key(2, 50))
	assert.Equal(t, 1.625, s.Key(3, 50))
	assert.Equal(t, "-1/4", s.Text(s.Key(2, 0)))
	assert.False(t, s.OnScale(s.Key(2, 0)))
	assert.False(t, s.OnScale(s.Key(3, 100)))
	assert.True(t, s.OnScale(s.Key(1, 100)))
	assert.Equal(t, "-1 1/8", s.Text(-1.125))
}

func TestParseKey(t *testing.T) {
	for text, want := range map[string]float64{
		"37": 37, "1.375": 1.375, "3/8": 0.375, "1 3/8": 1.375, " 1  3/8 ": 1.375, "0": 0,
		"-1/8": -0.125, "-1 3/8": -1.375, "+2": 2, "9/8": 1.125, "-0": 0,
		".5": 0.5, "⅜": 0.375, "1⅜": 1.375, "1 ⅜": 1.375, "1-3/8": 1.375, "1 - 3/8": 1.375, "1–3/8": 1.375, "1 3⁄8": 1.375, "1\u00a03/8": 1.375,
		"-⅜": -0.375, "−1/8": -0.125, "+⅛": 0.125,
	} {
		got, err := ParseKey(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
		assert.False(t, math.Signbit(got) && got == 0, text)
	}
	for _, text := range []string{"", "-", "1 3", "3/0", "1/2/3", "1,375", "1 -3/8", "inf", "NaN", "0x10", "1e3", "3/8 turn", "⅜⅜", "1--3/8", "⅟", ".", "03. Aug", "99999999999", "1_0"} {
		_, err := ParseKey(text)
		require.Error(t, err, text)
		assert.NotContains(t, err.Error(), "\n")
	}
	_, err := ParseKey("1\n3/8")
	assert.EqualError(t, err, `"1\n3/8" is not a key setting; write it like 37, 1.375 or 1 3/8`)
	_, err = ParseKey("3/0")
	assert.EqualError(t, err, `"3/0" divides by 0; write it like 37, 1.375 or 1 3/8`)
}

// Every key that can be set is its own nearest step, is within half a step of
// its opening, and is read back from its text.
func TestKeysRoundAndReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom([]KeyScale{
			percentKeys, eighths,
			{Unit: Notch, Travel: 24, Step: 0.25},
			{Unit: Turn, Travel: 2, Step: 1 / 3.0},
			{Unit: Percent, Travel: 100, Step: 0.2},
			{Unit: Turn, Travel: 1.5, Step: 0.3},
			{Unit: Turn, Travel: 4, Step: 0.0625},
		}).Draw(t, "scale")
		opening := rapid.Float64Range(0, 100).Draw(t, "opening")
		key := s.Key(1, opening)
		require.InDelta(t, opening/100*s.Travel, key, s.Step*(0.5+1e-8))
		require.True(t, s.OnScale(key))
		require.Equal(t, key, s.Key(1, key/s.Travel*100))
		read, err := ParseKey(s.Text(key))
		require.NoError(t, err)
		require.InDelta(t, key, read, 1e-12)
	})
}

func TestWordsOfAScale(t *testing.T) {
	for want, s := range map[string]KeyScale{
		"% of travel, 0 closed to 100 fully open, in steps of 1":                                                                       {Unit: Percent, Travel: 100, Step: 1},
		"notches, 0 closed to 40 fully open, in steps of 0.5":                                                                          {Unit: Notch, Travel: 40, Step: 0.5},
		"turns of the screw, 0 closed to 3 fully open, in steps of 1/8; clockwise closes, less ink; counter-clockwise opens, more ink": {Unit: Turn, Travel: 3, Step: 0.125},
	} {
		assert.Equal(t, want, s.Words())
	}
}

// A setting is written as a fraction where it is one within a millionth of a
// part, and where its parts can be counted.
func TestFractionsAtTheirBounds(t *testing.T) {
	for _, c := range []struct {
		v, den float64
		want   string
	}{
		{1 + 0.95e-6, 1, "1"},
		{1 + 1.05e-6, 1, "1.00000105"},
		{-1e-9, 8, "0"},
		{-0.125, 8, "-1/8"},
		{0, 8, "0"},
		{124_999_999_999_999.875, 8, "124999999999999 7/8"},
		{125_000_000_000_000.125, 8, "125000000000000.12"},
	} {
		assert.Equal(t, c.want, fraction(c.v, c.den), "%v in parts of %g", c.v, c.den)
	}
}

// Where the step is not known, sixty-fourths are the finest looked for, and a
// thousandth of a millionth is no part.
func TestKeyTextAtItsBounds(t *testing.T) {
	for v, want := range map[float64]string{
		1.0 / 64: "1/64", 1.0 / 65: "0.015384615384615385", 1 + 0.95e-9: "1", 1 + 1.05e-9: "1.00000000105",
	} {
		assert.Equal(t, want, KeyText(Turn, v))
	}
}

// A step is a part of one where it is so within a millionth.
func TestStepsThatArePartsOfOne(t *testing.T) {
	for step, den := range map[float64]float64{0.125: 8, 1: 1, 1 / (8 + 7.6e-6): 8, 1 / (8 + 8.4e-6): 0, 0.3: 0} {
		assert.Equal(t, den, KeyScale{Step: step}.denominator(), "%v", step)
	}
}

// A screw closes clockwise, unless its press says otherwise; a scale without
// screws says nothing of turning, unless its press does.
func TestTurning(t *testing.T) {
	const closes, opens = "; clockwise closes, less ink; counter-clockwise opens, more ink", "; clockwise opens, more ink; counter-clockwise closes, less ink"
	for _, c := range []struct {
		unit      KeyUnit
		clockwise string
		words     string
	}{
		{Turn, "", closes},
		{Turn, "closes", closes},
		{Turn, "opens", opens},
		{Percent, "", ""},
		{Notch, "", ""},
		{Percent, "opens", opens},
		{Notch, "closes", closes},
	} {
		r := rules{}
		scale := keysFile{Unit: string(c.unit), Travel: new(3.0), Step: new(0.5), Clockwise: c.clockwise}.scale(&r, 1)
		require.NoError(t, r.err)
		_, words, _ := strings.Cut(scale.Words(), "in steps of "+scale.Text(0.5))
		assert.Equal(t, c.words, words, "%s %s", c.unit, c.clockwise)
	}
	r := rules{file: "p.toml"}
	keysFile{Unit: "turn", Travel: new(3.0), Step: new(0.5), Clockwise: "left"}.scale(&r, 1)
	assert.EqualError(t, r.err, `p.toml: keys.clockwise: "left" is not known; write closes or opens`)
}

// Where a key is shut at its own zero, turns do not count from shut.
func TestWordsOfZeros(t *testing.T) {
	s := KeyScale{Unit: Turn, Travel: 3, Step: 0.125, Zero: []float64{0, 0.25}}
	assert.Equal(t, "turns of the screw, counted from each key's own 0, which need not be where it is shut, and fully open 3 further than that, in steps of 1/8; clockwise closes, less ink; counter-clockwise opens, more ink", s.Words())
	s.Zero = []float64{0, 0}
	assert.True(t, s.CountsFromShut())
	assert.Contains(t, s.Words(), "0 closed to 3 fully open")
}
