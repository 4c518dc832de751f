package job

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/curves/learn"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const unitsPress = `name = "Hall press" # ours
fountain = { zones = 8, zone_width_mm = 25.4, first_zone = "left", blade = "segmented" }
sweep = { unit = "%", from = 10, to = 90, step = 1, reference = 45 }
[keys]
unit = "%"
travel = 100
step = 1
[curves]
default = "line.curve.toml"
[curves.art]
Black = "art.curve.toml"
[[units]]
name = "1" # nearest the feeder
inks = ["Black"]
[[units]]
name = "2"
inks = ["Cyan"]
zero = [0, 0, 0, 0, 0, 0, 0, 4] # found in May
`

const lineCurve = "name = \"Line\"\nshape = \"straight\"\npoints = [[0, 0], [100, 100]]\n"

// learningIn is a folder with a press and its curves.
func learningIn(t *testing.T, pressText string) (folder, pressFile string) {
	folder = t.TempDir()
	for name, text := range map[string]string{"hall.press.toml": pressText, "line.curve.toml": lineCurve, "art.curve.toml": strings.Replace(lineCurve, "Line", "Art line", 1)} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666))
	}
	require.NoError(t, os.Mkdir(filepath.Join(folder, "ok"), 0o777))
	return folder, filepath.Join(folder, "hall.press.toml")
}

// okJob writes an OK file: what every key was run at, by coverages that differ from
// job to job, as the line asks, and off points more in zone 3.
func okJob(t *testing.T, folder string, n int, paper, unit string, inks []string, off float64) string {
	text := "job,press,ink,zone,left_mm,right_mm,coverage_pct,opening_pct,key,key_text,key_unit,state,sweep,sweep_unit,paper,unit,ok_key,ok_sweep\n"
	for _, ink := range inks {
		for zone := 1; zone <= 8; zone++ {
			covered := 10 + math.Mod(float64(zone*(7+4*n)), 31)
			run := covered
			if zone == 3 {
				run += off
			}
			text += fmt.Sprintf("Job %d,Hall press,%s,%d,,,%g,%g,%g,%g,%%,set,45,%%,%s,%s,%g,\n", n, ink, zone, covered, covered, covered, covered, paper, unit, run)
		}
	}
	path := filepath.Join(folder, "ok", fmt.Sprintf("job%d.csv", n))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	return path
}

func learned(t *testing.T, how Learning) (*Lesson, *learn.Result) {
	l, err := how.Lesson(context.Background())
	require.NoError(t, err)
	result, err := l.Learn("", 1)
	require.NoError(t, err)
	return l, result
}

// The zeros of unit 1 are written into its table, and move no key of unit 2, nor of
// a unit that has none of its own. A key that reads 6 points high in three jobs is
// found to, but for what holds it to 0, half a reading: 6 × 3/(3 + ½), and for what
// the curve takes up of it.
func TestZerosOfAUnit(t *testing.T) {
	folder, pressFile := learningIn(t, unitsPress)
	for n := range 3 {
		okJob(t, folder, n, "", "1", []string{"Black"}, 6)
	}
	l, result := learned(t, Learning{Press: pressFile, Ink: "Black", Zeros: true, OKFiles: []string{filepath.Join(folder, "ok")}})
	assert.Equal(t, []string{"1"}, l.Units())
	file, err := l.PressWith(result.Offsets)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, file.Write(&b))
	on, err := press.Parse("p.toml", []byte(b.String()))
	require.NoError(t, err)
	was, err := press.Parse("p.toml", []byte(unitsPress))
	require.NoError(t, err)

	assert.InDelta(t, 6*3/3.5, on.InUnit("1").Keys.Zero[2], 1)
	assert.Equal(t, make([]float64, 8), on.Units[0].ZeroByHand)
	assert.Equal(t, was.Units[1], on.Units[1], "the other unit stays")
	assert.Equal(t, was.Keys, on.Keys, "and what units without zeros have")
	for _, kept := range []string{"# ours", "# nearest the feeder", "zero = [0, 0, 0, 0, 0, 0, 0, 4] # found in May", "# remove this when zero is set by hand once more"} {
		assert.Contains(t, b.String(), kept)
	}

	// Learned again from the written file the same zeros come out.
	require.NoError(t, os.WriteFile(pressFile, []byte(b.String()), 0o666))
	l, result = learned(t, Learning{Press: pressFile, Ink: "Black", Zeros: true, OKFiles: []string{filepath.Join(folder, "ok")}})
	file, err = l.PressWith(result.Offsets)
	require.NoError(t, err)
	var again strings.Builder
	require.NoError(t, file.Write(&again))
	assert.Equal(t, b.String(), again.String())
}

// One ink in two units has the offsets of each; three jobs of a unit are wanted.
func TestOffsetsOfTwoUnits(t *testing.T) {
	folder, pressFile := learningIn(t, unitsPress)
	for n := range 5 {
		unit, off := "1", 6.0
		if n >= 3 {
			unit, off = "2", -6
		}
		okJob(t, folder, n, "", unit, []string{"Black"}, off)
	}
	how := Learning{Press: pressFile, Ink: "Black", OKFiles: []string{filepath.Join(folder, "ok")}}
	l, result := learned(t, how)
	assert.Equal(t, []string{"1", "2"}, l.Units())
	zone3 := func(unit string) float64 { return OffsetsIn(unit, result.Offsets)[2].ShiftPct }
	assert.Greater(t, zone3("1"), 4.0)
	assert.Less(t, zone3("2"), -4.0)

	how.Zeros = true
	_, err := how.Lesson(context.Background())
	assert.EqualError(t, err, "takes at least 3 jobs of a unit and there are 2 of unit 2")
	how.Unit = "1"
	l, _ = learned(t, how)
	assert.Len(t, l.Runs, 3)
	how.Unit = "3"
	_, err = how.Lesson(context.Background())
	assert.EqualError(t, err, `the press has no unit "3"`)
}

// Zeros of a press without units are those of all inks, and where the jobs have
// several that is said.
func TestZerosOfAPressWithoutUnits(t *testing.T) {
	whole, _, _ := strings.Cut(unitsPress, "[[units]]")
	folder, pressFile := learningIn(t, whole)
	for n := range 3 {
		okJob(t, folder, n, "", "", []string{"Black", "Cyan"}, 6)
	}
	l, result := learned(t, Learning{Press: pressFile, Ink: "Black", Zeros: true, OKFiles: []string{filepath.Join(folder, "ok")}})
	require.Len(t, l.Doubts, 1)
	assert.Equal(t, "the press's file names no units, so its zeros move the keys of every ink, of Black, Cyan", l.Doubts[0].Text)
	assert.Equal(t, CodeOneZero, l.Doubts[0].Code)
	file, err := l.PressWith(result.Offsets)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, file.Write(&b))
	on, err := press.Parse("p.toml", []byte(b.String()))
	require.NoError(t, err)
	assert.Greater(t, on.Keys.Zero[2], 4.0)
}

// A job that names no unit is that of its ink; with an ink that the press names in
// none, its zeros would be nobody's.
func TestZerosOfNoUnit(t *testing.T) {
	folder, pressFile := learningIn(t, unitsPress)
	var path string
	for n := range 3 {
		path = okJob(t, folder, n, "", "", []string{"Black", "Red"}, 6)
	}
	how := Learning{Press: pressFile, Ink: "Black", Zeros: true, OKFiles: []string{filepath.Join(folder, "ok")}}
	l, _ := learned(t, how)
	assert.Equal(t, []string{"1"}, l.Units())
	how.Ink = "Red"
	_, err := how.Lesson(context.Background())
	assert.EqualError(t, err, strings.Replace(path, "job2", "job0", 1)+": column unit: does not say in which unit it was run; write one of these there: 1, 2")
}

// Jobs of several papers make no curve together; --paper picks. The old curve is
// the paper's.
func TestLearningByPaper(t *testing.T) {
	folder, pressFile := learningIn(t, unitsPress)
	okJob(t, folder, 0, "art", "1", []string{"Black"}, 0)
	okJob(t, folder, 1, "Art", "1", []string{"Black"}, 0)
	how := Learning{Press: pressFile, Ink: "Black", OKFiles: []string{filepath.Join(folder, "ok")}}
	l, result := learned(t, how)
	assert.Equal(t, "art", l.Paper, "one paper, however it is written")
	assert.Equal(t, "Art line", l.Old.Name)
	assert.Equal(t, "Black on Hall press, art", result.Curve.Name)

	unstated := okJob(t, folder, 2, "", "1", []string{"Black"}, 0)
	l, _ = learned(t, how)
	assert.Len(t, l.Runs, 3)
	require.Len(t, l.Doubts, 1)
	assert.Equal(t, "1 of 3 jobs do not say on what paper they were run, and count as run on art", l.Doubts[0].Text)

	other := okJob(t, folder, 3, "board", "1", []string{"Black"}, 0)
	_, err := how.Lesson(context.Background())
	assert.EqualError(t, err, `the jobs of Black were run on several papers, "art" (2), "board" (1)`)

	how.Paper = "ART"
	l, _ = learned(t, how)
	assert.Len(t, l.Runs, 2)
	require.Len(t, l.Doubts, 1)
	assert.Equal(t, unstated+" is skipped: it does not say on what paper it was run; name the file itself if it is the one", l.Doubts[0].Text)
	how.OKFiles = append(how.OKFiles[:0:0], unstated)
	l, _ = learned(t, how)
	assert.Len(t, l.Runs, 1, "one that is named is the paper's")
	how.OKFiles = []string{other}
	_, err = how.Lesson(context.Background())
	assert.EqualError(t, err, other+`: it was run on "board"; leave the file out`)
	how.OKFiles, how.Paper = []string{filepath.Join(folder, "ok")}, "newsprint"
	_, err = how.Lesson(context.Background())
	assert.ErrorContains(t, err, "ok: there is no OK file of Black on newsprint; fill in ok_key in the CSV of a preset")
}
