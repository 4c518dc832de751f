package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pieceLines are those of a piece of a form file, and more.
func pieceLines(more string) string {
	return "[[pieces]]\nfiles = [\"card_K.png\"]\nx_mm = 0\ny_mm = 0\n" + more
}

// Form files of any kind end in one line, soon, and in little memory.
func TestHostileForms(t *testing.T) {
	folder := t.TempDir()
	grayPNG(t, filepath.Join(folder, "card_K.png"), 1, 50, 30)
	require.NoError(t, os.Symlink(".", filepath.Join(folder, "loop")))
	const size = "width_mm = 660\nheight_mm = 480\n"
	for name, c := range map[string]struct{ text, want string }{
		"10⁶ pieces":              {size + strings.Repeat("[[pieces]]\n", 1_000_000), "is too much for a file of settings"},
		"as many as fit":          {size + strings.Repeat("[[pieces]]\n", 90_000), "piece 1: x_mm: is missing"},
		"10⁶ repeats":             {size + pieceLines("repeat = { across = 1000, along = 1000 }"), "piece 1: repeat: more than 10000 pieces do not go on one sheet"},
		"10⁶ across":              {size + pieceLines("repeat = { across = 1000000 }"), "piece 1: repeat.across: 1000000 is outside 1 to 10000"},
		"overflowing repeats":     {size + pieceLines("repeat = { across = 2147483647, along = 2147483647 }"), "repeat.across"},
		"many of many":            {size + strings.Repeat(pieceLines("repeat = { across = 100, along = 99, gap_x_mm = 1 }\n"), 2), "piece 2: repeat: more than 10000 pieces"},
		"no width":                {"height_mm = 480\n" + pieceLines(""), "width_mm: is missing"},
		"a width of 0":            {"width_mm = 0\nheight_mm = 480\n" + pieceLines(""), "width_mm: 0 is outside 1 to 10000"},
		"a negative length":       {"width_mm = 660\nheight_mm = -480\n" + pieceLines(""), "height_mm: -480 is outside"},
		"a width of NaN":          {"width_mm = nan\nheight_mm = 480\n" + pieceLines(""), "width_mm: NaN is outside"},
		"an endless place":        {size + "[[pieces]]\nfiles = [\"card_K.png\"]\nx_mm = inf\ny_mm = 0\n", "piece 1: x_mm: +Inf is outside"},
		"a place of NaN":          {size + "[[pieces]]\nfiles = [\"card_K.png\"]\nx_mm = 0\ny_mm = nan\n", "piece 1: y_mm: NaN is outside"},
		"a dpi of 0":              {size + pieceLines("dpi = 0"), "piece 1: dpi: 0 is outside 1 to 100000"},
		"a dpi of NaN":            {size + pieceLines("dpi_x = nan"), "piece 1: dpi_x: NaN is outside"},
		"a gap of NaN":            {size + pieceLines("repeat = { across = 2, gap_x_mm = nan }"), "piece 1: repeat.gap_x_mm: NaN is outside"},
		"gaps and steps":          {size + pieceLines("repeat = { across = 2, gap_x_mm = 1, step_x_mm = 1 }"), "piece 1: repeat: states both gaps and steps"},
		"a step that lacks":       {size + pieceLines("repeat = { across = 2, along = 2, step_x_mm = 10 }"), "piece 1: repeat.step_y_mm: is missing"},
		"a negative crop":         {size + pieceLines("crop = { left_mm = -1 }"), "piece 1: crop.left_mm: -1 is outside"},
		"all cropped away":        {size + pieceLines("dpi = 254\ncrop = { left_mm = 5 }"), "card_K.png, page 1: 5 and 0 mm cannot be cut off what is 5.000 mm wide or high; correct the crop"},
		"a crop that is whose":    {size + pieceLines("dpi = 254") + "\n" + pieceLines("dpi = 254\ncrop = { left_mm = 5 }"), "hostile.form.toml: piece 2: crop: "},
		"a turn of 45":            {size + pieceLines("turn = 45"), "piece 1: turn: 45 degrees are no quarter turns"},
		"an unknown key":          {size + pieceLines("turns = 90"), `line 7, column 1: unknown key "pieces.turns"; did you mean "turn"?`},
		"a file twice its ink":    {size + "[[pieces]]\nfiles = [\"card_K.png\", \"card_?.png\"]\nx_mm = 0\ny_mm = 0\n", "is the ink Black, and so is"},
		"itself":                  {size + "[[pieces]]\nfiles = [\"hostile.form.toml\"]\nx_mm = 0\ny_mm = 0\n", "is a form file, and no piece of one"},
		"a pattern of itself":     {size + "[[pieces]]\nfiles = [\"*.toml\"]\nx_mm = 0\ny_mm = 0\n", "no file matches"},
		"patterns of folders":     {size + "[[pieces]]\nfiles = [\"*/*/*/*/*/*/*/*/card_?.png\"]\nx_mm = 0\ny_mm = 0\n", "cannot be listed as a folder"},
		"a broken pattern":        {size + "[[pieces]]\nfiles = [\"card_[.png\"]\nx_mm = 0\ny_mm = 0\n", "is not a pattern"},
		"a folder":                {size + "[[pieces]]\nfiles = [\"loop\"]\nx_mm = 0\ny_mm = 0\n", `hostile.form.toml: piece 1: files: "loop" is a folder; name the files in it, as "loop/*.tif"`},
		"no such file":            {size + "[[pieces]]\nfiles = [\"gone.png\"]\nx_mm = 0\ny_mm = 0\n", "piece 1: files: \"gone.png\": there is no such file"},
		"a nameless file":         {size + "[[pieces]]\nfiles = [\"\"]\nx_mm = 0\ny_mm = 0\n", "is not the name of a file"},
		"no pieces":               {size, "pieces: there are none"},
		"no such page":            {size + pieceLines("dpi = 254\npage = 7"), "has no such page and channel"},
		"no such channel":         {size + "[[pieces]]\ninks.Black = { file = \"card_K.png\", channel = 5 }\nx_mm = 0\ny_mm = 0\n", "has no such page and channel"},
		"an ink of two spellings": {size + "[[pieces]]\ninks.Black = { file = \"card_K.png\" }\ninks.BLACK = { file = \"card_K.png\" }\nx_mm = 0\ny_mm = 0\n", "is named twice"},
		"no resolution":           {size + pieceLines(""), "the raster states no resolution, so its place in the form is not known; write its dpi in the form's file"},
		"all in one place":        {size + pieceLines("dpi = 2540\nrepeat = { across = 100, along = 100, step_x_mm = 0, step_y_mm = 0 }"), "lies over piece 1"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(folder, "hostile.form.toml")
			require.NoError(t, os.WriteFile(path, []byte(c.text), 0o666))
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			var stdout, stderr bytes.Buffer
			status := run([]string{"preset", "--press", "two-colour", path}, nil, &stdout, &stderr)
			runtime.ReadMemStats(&after)
			assert.Equal(t, statusFailed, status)
			assert.Empty(t, stdout.String())
			assert.NoError(t, oneMessage(stderr.String()))
			assert.Contains(t, stderr.String(), c.want)
			assert.Less(t, time.Since(start), 10*time.Second)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(300<<20), "bytes")
		})
	}
}

// The most pieces that there can be, over each other, are preset in bounded time.
func TestTheMostPieces(t *testing.T) {
	folder := t.TempDir()
	grayPNG(t, filepath.Join(folder, "card_K.png"), 1, 50, 30)
	path := filepath.Join(folder, "most.form.toml")
	for _, repeat := range []string{
		"repeat = { across = 100, along = 100, step_x_mm = 5, step_y_mm = 4 }",
		"overprint = true\nrepeat = { across = 100, along = 100, step_x_mm = 0, step_y_mm = 0 }",
	} {
		require.NoError(t, os.WriteFile(path, []byte("width_mm = 660\nheight_mm = 480\n"+pieceLines("dpi = 254\n"+repeat)), 0o666))
		start := time.Now()
		var stdout, stderr bytes.Buffer
		status := run([]string{"preset", "--press", "two-colour", "--format", "json", path}, nil, &stdout, &stderr)
		assert.Equal(t, statusDone, status, stderr.String())
		assert.Less(t, time.Since(start), 20*time.Second)
	}
}
