package curves

import (
	"strings"
	"testing"

	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const coated = `name = "Coated, trial 3"
shape = "smooth"
reference_sweep = 45
note = "found on the autumn calendar"
points = [[0, 2], [5, 9], [20, 22.5], [100, 88]]
`

func TestParseCurve(t *testing.T) {
	c, err := ParseCurve("coated.curve.toml", []byte(coated))
	require.NoError(t, err)
	assert.Equal(t, "Coated, trial 3", c.Name)
	assert.Equal(t, Smooth, c.Shape)
	assert.Equal(t, 45.0, c.ReferenceSweep)
	assert.Equal(t, "found on the autumn calendar", c.Note)
	assert.Equal(t, []Point{{0, 2}, {5, 9}, {20, 22.5}, {100, 88}}, c.Points)
	assert.Equal(t, 22.5, c.At(20))
}

func TestParseCurveTakesAByteOrderMark(t *testing.T) {
	_, err := ParseCurve("c.toml", []byte("\ufeff"+coated))
	assert.NoError(t, err)
}

// hostile are curves that must be refused, and what the message must name.
var hostile = map[string]struct{ data, want string }{
	"empty":             {"", "c.toml: name: "},
	"no curve at all":   {"\x00\x01\xff", "c.toml: line 1, column 3: this is no text"},
	"unknown key":       {strings.Replace(coated, "note", "notes", 1), `c.toml: line 4, column 1: unknown key "notes"; did you mean "note"?`},
	"unknown table":     {coated + "[extra]\nx = 1\n", `c.toml: line 6, column 2: unknown key "extra"`},
	"key twice":         {coated + "shape = \"straight\"\n", "c.toml: line 6, column 1"},
	"text for a number": {strings.Replace(coated, "45", `"45"`, 1), "c.toml: line 3, column 19: reference_sweep cannot be a string"},
	"number for points": {"name = 'a'\nshape = 'smooth'\npoints = 4", "c.toml: line 3, column 10: points cannot be an integer"},
	"cut short":         {coated[:len(coated)-4], "c.toml: line 5, column 45: array is incomplete"},
	"no such shape":     {strings.Replace(coated, "smooth", "round", 1), `c.toml: shape: "round" is not a shape`},
	"no sweep":          {strings.Replace(coated, "45", "0", 1), "c.toml: reference_sweep: "},
	"sweep below 0":     {strings.Replace(coated, "45", "-1", 1), "c.toml: reference_sweep: -1"},
	"sweep of nothing":  {strings.Replace(coated, "45", "1e-10", 1), "c.toml: reference_sweep: 0.0000000001 is not a sweep; write the sweep that the points were found at, above 0 and up to 1000000"},
	"sweep huge":        {strings.Replace(coated, "45", "1e9", 1), "c.toml: reference_sweep: 1000000000 is not a sweep"},
	"sweep not finite":  {strings.Replace(coated, "45", "inf", 1), "c.toml: reference_sweep: +Inf"},
	"name of two lines": {strings.Replace(coated, "Coated, ", `Coated\n`, 1), "c.toml: name: "},
	"one point":         {"name = 'a'\nshape = 'smooth'\npoints = [[0, 0]]", "c.toml: points: a curve needs at least two, not 1"},
	"three numbers":     {strings.Replace(coated, "[5, 9]", "[5, 9, 1]", 1), "c.toml: points: point 2 has 3 numbers"},
	"falls":             {strings.Replace(coated, "22.5", "7", 1), "c.toml: points: point 3 [20, 7]: the opening falls from 9 to 7"},
	"same coverage":     {strings.Replace(coated, "[20,", "[5,", 1), "c.toml: points: point 3 [5, 22.5]: the coverage does not rise from 5 to 5"},
	"too close":         {strings.Replace(coated, "[20,", "[5.0000000000001,", 1), "c.toml: points: point 3"},
	"above 100":         {strings.Replace(coated, "88", "101", 1), "c.toml: points: point 4 [100, 101]"},
	"below 0":           {strings.Replace(coated, "[0, 2]", "[-1, 2]", 1), "c.toml: points: point 1 [-1, 2]"},
	"not a number":      {strings.Replace(coated, "88", "nan", 1), "c.toml: points: point 4 [100, NaN]"},
	"deeply nested":     {"points = " + strings.Repeat("[", 200_000), "c.toml: line 1"},
	"too long":          {strings.Repeat("#", 1<<20+1), "c.toml: more than 1 MiB"},
}

func TestParseCurveRefuses(t *testing.T) {
	for name, tc := range hostile {
		t.Run(name, func(t *testing.T) {
			c, err := ParseCurve("c.toml", []byte(tc.data))
			require.Nil(t, c)
			var place *settings.FileError
			require.ErrorAs(t, err, &place)
			assert.True(t, strings.HasPrefix(err.Error(), tc.want), err.Error())
			assert.NotContains(t, err.Error(), "\n")
			assert.NotEmpty(t, place.Do)
		})
	}
}

func FuzzParseCurve(f *testing.F) {
	f.Add([]byte(coated))
	f.Add([]byte(coated + learnedTable))
	for _, tc := range hostile {
		if len(tc.data) < 1000 {
			f.Add([]byte(tc.data))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := ParseCurve("c.toml", data)
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		for i := range 101 {
			v := c.At(float64(i))
			require.True(t, v >= 0 && v <= 100, "%g at %d", v, i)
		}
	})
}

// TestLongTexts: of what a file says a message shows no more than a line's worth,
// and still where it stands and what to do.
func TestLongTexts(t *testing.T) {
	long := strings.Repeat("x", 400_000)
	for what, data := range map[string]string{
		"key":          coated + long + " = 1\n",
		"path":         coated + strings.Repeat("x.", 200_000) + "x = 1\n",
		"key in table": coated + "[learned]\n" + long + " = 1\n",
		"table":        coated + "[" + long + "]\nx = 1\n",
		"key twice":    coated + long + " = 1\n" + long + " = 1\n",
		"name":         strings.Replace(coated, "Coated", long+`\u0001`, 1),
		"shape":        strings.Replace(coated, "smooth", long, 1),
		"value":        strings.Replace(coated, "45", `"`+long+`"`, 1),
		"bad value":    strings.Replace(coated, "45", long, 1),
	} {
		_, err := ParseCurve("c.toml", []byte(data))
		if assert.Error(t, err, what) {
			assert.Less(t, len(err.Error()), 500, what)
			assert.Regexp(t, `^c\.toml: .+; [^;]+$`, err.Error(), what)
		}
	}
}
