package curves

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// head and tail stand round the points in every case; they hold what a text
// editor could mistake for points.
const (
	head = "# Found in the harbour hall.\n\nname = \"Harbour\"\nnote = \"\"\"\npoints = [[1, 1]]\n\"\"\" # kept\nshape='straight' # \"smooth\" is too bold\n"
	tail = "\n# [50, 99] was wrong\n"
)

const ownLines = `points = [ # by rising coverage
  # paper white
  [0, 2],
  [10, 18],   # keys of the spring fair
  [ 40.0 ,46 ], # [40, 50] was too dark
  [100, 80]
] # end`

func set(points ...Point) func([]byte) ([]byte, error) {
	return func(data []byte) ([]byte, error) { return SetPoints("c.toml", data, points...) }
}

func remove(coverages ...float64) func([]byte) ([]byte, error) {
	return func(data []byte) ([]byte, error) { return RemovePoints("c.toml", data, coverages...) }
}

func scale(factor float64) func([]byte) ([]byte, error) {
	return func(data []byte) ([]byte, error) { return ScalePoints("c.toml", data, factor) }
}

// swap is a text with some of its parts replaced.
func swap(text string, oldnew ...string) string { return strings.NewReplacer(oldnew...).Replace(text) }

var edits = map[string]struct {
	before string
	edit   func([]byte) ([]byte, error)
	after  string
}{
	"an opening": {ownLines, set(Point{40, 47.5}), swap(ownLines, ",46 ]", ",47.5 ]")},
	"two at once, either alone would fall": {
		ownLines, set(Point{10, 50}, Point{40, 60}),
		swap(ownLines, "10, 18", "10, 50", ",46 ]", ",60 ]"),
	},
	"a new point on its line": {ownLines, set(Point{30, 38}), swap(ownLines, "  [ 40", "  [30, 38],\n  [ 40")},
	"a new last point gives the last its comma": {
		swap(ownLines, "[100", "[90"), set(Point{100, 88.25}),
		swap(ownLines, "[100, 80]\n", "[90, 80],\n  [100, 88.25],\n"),
	},
	"a new first point": {
		swap(ownLines, "[0, 2]", "[5, 9]"), set(Point{0, 2}),
		swap(ownLines, "[0, 2]", "[0, 2],\n  [5, 9]"),
	},
	"a line less":                        {ownLines, remove(40), swap(ownLines, "  [ 40.0 ,46 ], # [40, 50] was too dark\n", "")},
	"the last line less":                 {ownLines, remove(100), swap(ownLines, "  [100, 80]\n", "")},
	"two lines less":                     {ownLines, remove(40, 10), swap(ownLines, "  [ 40.0 ,46 ], # [40, 50] was too dark\n", "", "  [10, 18],   # keys of the spring fair\n", "")},
	"all openings":                       {ownLines, scale(1.1), swap(ownLines, "[0, 2]", "[0, 2.2]", "18]", "19.8]", "46 ]", "50.6 ]", "[100, 80]", "[100, 88]")},
	"the openings back":                  {ownLines, func(d []byte) ([]byte, error) { d, _ = scale(1.1)(d); return scale(1 / 1.1)(d) }, ownLines},
	"nothing":                            {ownLines, set(), ownLines},
	"in one line, an opening":            {"points = [[0,2],[100,80]]", set(Point{0, 0}), "points = [[0,0],[100,80]]"},
	"in one line, a new point":           {"points = [[0, 2], [100, 80]]", set(Point{50, 52}), "points = [[0, 2], [50, 52], [100, 80]]"},
	"in one line, a new first":           {"points = [[10, 2], [100, 80]]", set(Point{0, 1}), "points = [[0, 1], [10, 2], [100, 80]]"},
	"in one line, a new last":            {"points = [[0, 2], [50, 80]]", set(Point{100, 90}), "points = [[0, 2], [50, 80], [100, 90]]"},
	"in one line, the middle less":       {"points = [[0, 2], [50, 52], [100, 80]]", remove(50), "points = [[0, 2], [100, 80]]"},
	"in one line, the last less":         {"points = [[0, 2], [50, 52], [100, 80]]", remove(100), "points = [[0, 2], [50, 52]]"},
	"in one line, the first less":        {"points = [[0, 2], [50, 52], [100, 80]]", remove(0), "points = [[50, 52], [100, 80]]"},
	"two a line, one less":               {"points = [\n\t[0, 2], [50, 52], # first two\n\t[100, 80]]", remove(50), "points = [\n\t[0, 2], # first two\n\t[100, 80]]"},
	"two a line, the first less":         {"points = [\n\t[0, 2], [50, 52], # two\n\t[100, 80]]", remove(0), "points = [\n\t[50, 52], # two\n\t[100, 80]]"},
	"the bracket behind the last point":  {"points = [\n\t[0, 2],\n\t[50, 80]]", set(Point{100, 90}), "points = [\n\t[0, 2],\n\t[50, 80],\n\t[100, 90]]"},
	"a comment before the comma":         {"points = [[0, 2] # so\n, [50, 52], [100, 80]]", remove(0), "points = [ # so\n [50, 52], [100, 80]]"},
	"behind a comment before the comma":  {"points = [[0, 2] # so\n, [100, 80]]", set(Point{50, 52}), "points = [[0, 2], [50, 52] # so\n, [100, 80]]"},
	"a comment and no comma":             {"points = [\n[0, 2], \n[50, 52] # so\n]", set(Point{100, 80}), "points = [\n[0, 2], \n[50, 52], # so\n[100, 80],\n]"},
	"a point over lines":                 {"points = [\n [\n  0, # white\n  2,\n ],\n [100, 80]\n]", set(Point{0, 1}), "points = [\n [\n  0, # white\n  1,\n ],\n [100, 80]\n]"},
	"numbers of other kinds":             {"points = [[0.0, 2e0], [1e1, +1_0.5], [100, 80]]", set(Point{10, 11}), "points = [[0.0, 2e0], [1e1, 11], [100, 80]]"},
	"a quoted key":                       {"\"points\" = [[0, 2], [100, 80]]", set(Point{0, 1}), "\"points\" = [[0, 1], [100, 80]]"},
	"a curve that fell, mended":          {"points = [[0, 2], [50, 1], [100, 80]]", set(Point{50, 40}), "points = [[0, 2], [50, 40], [100, 80]]"},
	"a comma behind the last, in a line": {"points = [[0, 2], [50, 52], [100, 80], ]", remove(100), "points = [[0, 2], [50, 52], ]"},
}

func TestEdit(t *testing.T) {
	for name, c := range edits {
		for mark, round := range map[string]func(string) string{
			"":                       func(s string) string { return s },
			", CRLF":                 func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
			", with a mark at first": func(s string) string { return "\ufeff" + s },
		} {
			t.Run(name+mark, func(t *testing.T) {
				before := []byte(round(head + c.before + tail))
				kept := slices.Clone(before)
				after, err := c.edit(before)
				require.NoError(t, err)
				assert.Equal(t, round(head+c.after+tail), string(after))
				assert.Equal(t, kept, before, "the text given is not written on")
			})
		}
	}
}

var refusedEdits = map[string]struct {
	before string
	edit   func([]byte) ([]byte, error)
	want   string
}{
	"falls":            {ownLines, set(Point{30, 50}), "c.toml: points: point 4 [40, 46]: the opening falls from 50 to 46; …"},
	"a new point low":  {ownLines, set(Point{30, 17}), "c.toml: points: point 3 [30, 17]: the opening falls from 18 to 17; …"},
	"above 100":        {ownLines, set(Point{100, 101}), "c.toml: points: point 4 [100, 101]: coverage and opening are percentages; …"},
	"below 0":          {ownLines, set(Point{0, -1}), "c.toml: points: point 1 [0, -1]: …"},
	"coverage too big": {ownLines, set(Point{120, 90}), "c.toml: points: point 5 [120, 90]: …"},
	"scaled too far":   {ownLines, scale(1.5), "c.toml: points: 1.5 times the opening of 80 at a coverage of 100 is beyond fully open, 100; scale by 1.25 at most; …"},
	"scaled below 0":   {ownLines, scale(-1), "c.toml: points: point 1 [0, -2]: …"},
	"no such point":    {ownLines, remove(50), "c.toml: points: none has a coverage of 50; name one of 0, 10, 40, 100"},
	"too few left":     {ownLines, remove(0, 10, 40), "c.toml: points: a curve needs at least two, not 1; …"},
	"none at all":      {"", set(Point{0, 1}), "c.toml: points: there are none to edit; …"},
	"not a curve":      {"points = [[0, 1], [2]]", set(Point{0, 1}), "c.toml: points: point 2 has 1 numbers; …"},
	"not TOML":         {"points = [[0, 1]", set(Point{0, 1}), "c.toml: line 8, …"},
}

func TestEditRefused(t *testing.T) {
	for name, c := range refusedEdits {
		t.Run(name, func(t *testing.T) {
			after, err := c.edit([]byte(head + c.before))
			require.Error(t, err)
			assert.Nil(t, after)
			start, _, _ := strings.Cut(c.want, "…")
			assert.True(t, strings.HasPrefix(err.Error(), start), "%s", err)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}

// anyLayout draws a curve's points in any layout that TOML allows.
func anyLayout(t *rapid.T, points []Point) string {
	gap := rapid.SampledFrom([]string{"", " ", "\t", "\n", "\n  ", " # [1, 2], ]\n", "\n#x\n "})
	var b strings.Builder
	b.WriteString("points = [")
	for i, p := range points {
		draw := func() string { return gap.Draw(t, "gap") }
		fmt.Fprintf(&b, "%s[%s%g%s,%s%g%s]%s", draw(), draw(), p.CoveragePct, draw(), draw(), p.OpeningPct, draw(), draw())
		if i < len(points)-1 || rapid.Bool().Draw(t, "last comma") {
			b.WriteString("," + draw())
		}
	}
	return b.String() + "]"
}

// TestEditAnyLayout compares edits of texts with the same edits of plain lists
// of points.
func TestEditAnyLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coverages := rapid.SliceOfNDistinct(rapid.IntRange(0, 100), 3, 8, rapid.ID).Draw(t, "coverages")
		slices.Sort(coverages)
		var want []Point
		for _, c := range coverages {
			want = append(want, Point{float64(c), float64(c) / 2})
		}
		data := []byte(head + anyLayout(t, want) + tail)
		for range rapid.IntRange(1, 4).Draw(t, "edits") {
			c := float64(rapid.IntRange(0, 100).Draw(t, "coverage"))
			at := slices.IndexFunc(want, func(p Point) bool { return p.CoveragePct >= c })
			there := at >= 0 && want[at].CoveragePct == c
			var err error
			switch {
			case there && len(want) > 2 && rapid.Bool().Draw(t, "remove"):
				want = slices.Delete(want, at, at+1)
				data, err = RemovePoints("c.toml", data, c)
			case there:
				want[at].OpeningPct = c/2 + 0.25
				data, err = SetPoints("c.toml", data, want[at])
			default:
				if at < 0 {
					at = len(want)
				}
				want = slices.Insert(want, at, Point{c, c / 2})
				data, err = SetPoints("c.toml", data, want[at])
			}
			require.NoError(t, err)
		}
		got, err := ParseCurve("c.toml", data)
		require.NoError(t, err)
		require.Equal(t, want, got.Points)
		require.True(t, strings.HasPrefix(string(data), head+"points = ["))
		require.True(t, strings.HasSuffix(string(data), "]"+tail))
	})
}

// A learned curve that is changed says so, once, and is no longer taken for
// what was learned.
func TestEditsMarkALearnedCurve(t *testing.T) {
	file := []byte(coated + learnedTable)
	for name, edit := range map[string]func([]byte) ([]byte, error){"set": set(Point{30, 41}), "remove": remove(20), "scale": scale(0.9)} {
		after, err := edit(file)
		require.NoError(t, err, name)
		c, err := ParseCurve("c.toml", after)
		require.NoError(t, err, name)
		assert.True(t, c.Learned.Edited, name)
		assert.Contains(t, string(after), "[learned]\nedited = true\nfrom = ")
		again, err := edit(after)
		if name == "remove" {
			require.Error(t, err)
			continue
		}
		require.NoError(t, err, name)
		assert.Equal(t, 1, strings.Count(string(again), "edited"), name)
	}
	c, err := ParseCurve("c.toml", file)
	require.NoError(t, err)
	same, err := set(c.Points[0])(file)
	require.NoError(t, err)
	assert.Equal(t, string(file), string(same), "nothing changes")
}

// bareEdits are edits of a list that is the last of its file, written as
// closely as TOML allows or with comments where they are in the way.
var bareEdits = map[string]struct {
	before string
	edit   func([]byte) ([]byte, error)
	after  string
}{
	"closely, an opening":          {"points=[[0,2],[100,80]]", set(Point{100, 81}), "points=[[0,2],[100,81]]"},
	"closely, the middle less":     {"points=[[0,2],[50,52],[100,80]]", remove(50), "points=[[0,2],[100,80]]"},
	"the last line less":           {"points = [\n[0, 2],\n[50, 52],\n[100, 80]]", remove(100), "points = [\n[0, 2],\n[50, 52]]"},
	"behind an empty comment":      {"points = [[0, 2], [50, 52],#\n[100, 80]]", remove(100), "points = [[0, 2], [50, 52],#\n]"},
	"between two on a line of two": {"points = [\n\t[0, 2], [50, 52],\n\t[100, 80]]", set(Point{75, 70}), "points = [\n\t[0, 2], [50, 52], [75, 70],\n\t[100, 80]]"},
	"the first two of none":        {"points = []", set(Point{0, 2}, Point{100, 80}), "points = [[0, 2], [100, 80]]"},
	"a second beside the only one": {"points = [[0, 2]]", set(Point{100, 80}), "points = [[0, 2], [100, 80]]"},
}

func TestEditAtTheEndOfAFile(t *testing.T) {
	const name = "name = \"Harbour\"\nshape = \"straight\"\n"
	for what, c := range bareEdits {
		after, err := c.edit([]byte(name + c.before))
		require.NoError(t, err, what)
		assert.Equal(t, name+c.after, string(after), what)
	}
	for _, left := range []struct {
		edit func([]byte) ([]byte, error)
		want string
	}{{remove(0, 100), "not 0"}, {remove(100, 0), "not 0"}, {remove(100), "not 1"}} {
		_, err := left.edit([]byte(name + "points = [[0, 2], [100, 80]]"))
		assert.ErrorContains(t, err, "a curve needs at least two, "+left.want)
	}
}
