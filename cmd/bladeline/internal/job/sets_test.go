package job

import (
	"cmp"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// told is what Sets makes of files, a line a job: "folder/name: files", and what is
// left out behind "but".
func told(paths ...string) []string {
	var lines []string
	for _, s := range (Names{}).Sets(paths) {
		line := filepath.ToSlash(filepath.Join(s.Folder, s.Name)) + ":"
		for _, in := range s.Inputs {
			line += " " + filepath.ToSlash(in.Path)
		}
		if len(s.LeftOut) > 0 {
			line += " but " + strings.Join(s.LeftOut, " ")
		}
		if s.Refused != nil {
			line += " REFUSED"
		}
		lines = append(lines, line)
	}
	return lines
}

// What separations are called is common practice of programs that write them.
func TestSetsByName(t *testing.T) {
	for name, c := range map[string]struct{ files, want []string }{
		"letters and words": {
			[]string{"fair_C.tif", "fair-magenta.png", "fair(Black).tif", "fair.Harbour Red.tiff", "gull_K.TIF"},
			[]string{"fair: fair(Black).tif fair-magenta.png fair.Harbour Red.tiff fair_C.tif", "gull: gull_K.TIF"},
		},
		"a word that is no process ink, beside some that are": {
			[]string{"fair_C.tif", "fair_Barn Red.tif", "fair_back_C.tif", "fair_back_Gold.tif", "fairy_Gold.tif"},
			[]string{"fair: fair_Barn Red.tif fair_C.tif", "fair_back: fair_back_C.tif fair_back_Gold.tif", "fairy_Gold: fairy_Gold.tif"},
		},
		"the composite of a program that separates": {
			[]string{"fair(Cyan).tif", "fair(Black).tif", "fair.tif"},
			[]string{"fair: fair(Black).tif fair(Cyan).tif but fair.tif"},
		},
		"a folder a job": {
			[]string{"hall/Harbour fair/Cyan.tif", "hall/Harbour fair/k.png", "hall/Harbour fair/Harbour Red.tif", "hall/Harbour fair/other_C.tif"},
			[]string{"hall/Harbour fair: hall/Harbour fair/Cyan.tif hall/Harbour fair/Harbour Red.tif hall/Harbour fair/k.png", "hall/Harbour fair/other: hall/Harbour fair/other_C.tif"},
		},
		"files of all inks": {
			[]string{"b/leaflet.v2.pdf", "b/card.eps", "a/poster.tif", "a/job 7.cover"},
			[]string{"a/job 7: a/job 7.cover", "a/poster: a/poster.tif", "b/card: b/card.eps", "b/leaflet.v2: b/leaflet.v2.pdf"},
		},
		"the same name in two folders": {
			[]string{"a/fair_C.tif", "b/fair_C.tif"},
			[]string{"a/fair: a/fair_C.tif", "b/fair: b/fair_C.tif"},
		},
		"two jobs of one name": {
			[]string{"fair_C.tif", "fair.pdf", "Gull_C.tif", "gull_M.tif", "hut/C.tif", "hut_C.tif", "ibis_C.tif"},
			[]string{"fair: fair.pdf fair_C.tif REFUSED", "Gull: Gull_C.tif gull_M.tif REFUSED", "hut: hut/C.tif hut_C.tif REFUSED", "ibis: ibis_C.tif"},
		},
		"named twice":   {[]string{"fair_C.tif", "fair_C.tif"}, []string{"fair: fair_C.tif"}},
		"nothing":       {nil, nil},
		"line breaks":   {[]string{"a\nb_C.tif", "a\nb_M.tif"}, []string{"a b: a\nb_C.tif a\nb_M.tif"}},
		"leading signs": {[]string{"-rf_C.tif", "-rf_M.tif"}, []string{"-rf: -rf_C.tif -rf_M.tif"}},
	} {
		assert.Equal(t, c.want, told(c.files...), name)
	}
	refused := Names{}.Sets([]string{"fair_C.tif", "fair.pdf"})[0].Refused
	assert.EqualError(t, refused, "fair_C.tif: is a job of the same name as fair.pdf; rename the files of one, or take them away")
}

// A folder that is worked in has a name, too.
func TestSetOfTheFolderThatIsWorkedIn(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "Harbour fair")
	require.NoError(t, os.Mkdir(folder, 0o777))
	t.Chdir(folder)
	assert.Equal(t, []string{"Harbour fair: C.tif K.tif"}, told("C.tif", "K.tif"))
}

// The pieces of a form are no jobs of their own.
func TestSetOfAForm(t *testing.T) {
	t.Chdir(t.TempDir())
	const form = "width_mm = 660\nheight_mm = 480\n[[pieces]]\nfiles = [\"flyer_*.tif\"]\nx_mm = 10\ny_mm = 12\n"
	for _, name := range []string{"flyer_C.tif", "flyer_K.tif", "flyers.form.toml", "bad.form.toml"} {
		text := map[bool]string{true: form}[name == "flyers.form.toml"]
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
	}
	assert.Equal(t, []string{"bad: bad.form.toml", "flyers: flyers.form.toml", "gull: gull_C.tif"},
		told("flyer_C.tif", "flyer_K.tif", "flyers.form.toml", "bad.form.toml", "gull_C.tif"))
}

// Every file is in one set, as a part or left out, in whatever order they are named;
// and the job is called what a preset of its files would be.
func TestSetsLoseNothing(t *testing.T) {
	part := rapid.SampledFrom([]string{"fair", "fair_back", "Gull 7", "hut", "Küste"})
	ending := rapid.SampledFrom([]string{"_C.tif", "-cyan.png", "(Black).tif", ".Barn Red.tif", "_Gold.tif", ".tif", ".pdf", ".cover", "/Cyan.tif", "/K.png", "/Gold.tif"})
	rapid.Check(t, func(t *rapid.T) {
		var files []string
		for range rapid.IntRange(0, 12).Draw(t, "files") {
			files = append(files, part.Draw(t, "part")+ending.Draw(t, "ending"))
		}
		var found []string
		for _, s := range (Names{}).Sets(files) {
			var of []*coverage.Map
			for _, in := range s.Inputs {
				found = append(found, in.Path)
				of = append(of, &coverage.Map{File: in.Path, Ink: coverage.InkFromName(in.Path)})
			}
			found = append(found, s.LeftOut...)
			if s.Refused == nil && s.Folder == "." && !strings.Contains(s.Inputs[0].Path, "/") {
				assert.Equal(t, s.Name, coverage.JobName(of), files)
			}
		}
		slices.Sort(found)
		assert.Equal(t, slices.Compact(slices.Sorted(slices.Values(files))), found, files)
		shuffled := rapid.Permutation(files).Draw(t, "shuffled")
		assert.Equal(t, told(files...), told(shuffled...))
	})
}

// A folder that is watched, a preset of many jobs and a new form have one rule for what
// belongs together and what is refused. Beyond it a watcher has each folder within for a
// job, and a preset, which is told of files and no folders, a folder with files that are
// called by inks alone.
func TestOneRuleForAll(t *testing.T) {
	part := rapid.SampledFrom([]string{"fair", "Fair", "fair_back", "Gull 7", "hut"})
	ending := rapid.SampledFrom([]string{"_C.tif", "-cyan.png", "(Black).tif", ".Barn Red.tif", "_Gold.tif", ".tif", ".png", ".pdf", ".cover", ".form.toml"})
	rapid.Check(t, func(t *rapid.T) {
		files := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return part.Draw(t, "part") + ending.Draw(t, "ending") }), 1, 10, rapid.ID).Draw(t, "files")
		slices.Sort(files)
		watched, refused := map[string][]string{}, map[string]bool{}
		for i, f := range (Names{}).Read(files...) {
			watched[strings.ToLower(f.Job)] = append(watched[strings.ToLower(f.Job)], files[i])
			refused[strings.ToLower(f.Job)] = refused[strings.ToLower(f.Job)] || f.Refused != nil
		}
		var anyRefused error
		for _, s := range (Names{}).Sets(files) {
			of := s.LeftOut
			for _, in := range s.Inputs {
				of = append(of, in.Path)
			}
			slices.Sort(of)
			assert.Equal(t, watched[strings.ToLower(s.Name)], of)
			assert.Equal(t, refused[strings.ToLower(s.Name)], s.Refused != nil, s.Name)
			anyRefused = cmp.Or(anyRefused, s.Refused)
		}
		n := NewForm{}
		for _, file := range files {
			n.Inputs = append(n.Inputs, coverage.Input{Path: file})
		}
		sets, leftOut, err := n.sets()
		assert.Equal(t, anyRefused, err)
		for path, s := range sets {
			assert.Contains(t, watched[strings.ToLower(s.Name)], path)
		}
		if err == nil {
			assert.Len(t, sets, len(files)-len(leftOut))
		}
	})
}
