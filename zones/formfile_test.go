package zones

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whatever a form file holds, it is a form of finite sizes or refused in one line.
func FuzzParseForm(f *testing.F) {
	f.Add([]byte("width_mm = 660\nheight_mm = 480\n[[pieces]]\nfiles = [\"page1_*.tif\"]\nx_mm = 10\ny_mm = 12\nturn = 90\ncrop = { left_mm = 3, right_mm = 3 }\nrepeat = { across = 3, along = 7, gap_x_mm = 2, gap_y_mm = 2 }\n"))
	f.Add([]byte("width_mm = 660\nheight_mm = 480\n[[pieces]]\ninks.Black = { file = \"job.tif\", page = 2, channel = 1 }\nwithout = [\"Cyan\"]\noverprint = true\nmirrored = true\ndpi_x = 300\ndpi_y = 600\nx_mm = 0\ny_mm = 0\n"))
	f.Add([]byte("width_mm = 1e308\nheight_mm = nan\n[[pieces]]\nfiles = [\"\"]\npage = -1\nx_mm = inf\ny_mm = -0.0\ndpi = 0\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := ParseForm("f.form.toml", data)
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		finite := func(v float64) { require.False(t, math.IsNaN(v) || math.IsInf(v, 0)) }
		require.True(t, form.WidthMM > 0 && form.LengthMM > 0)
		finite(form.WidthMM)
		finite(form.LengthMM)
		require.NotEmpty(t, form.Pieces)
		for _, p := range form.Pieces {
			finite(p.XMM)
			finite(p.YMM)
			finite(p.StepXMM)
			finite(p.StepYMM)
			require.NotZero(t, len(p.Files)+len(p.Inks))
			require.True(t, p.DPIX >= 0 && p.DPIY >= 0)
			require.Contains(t, []int{0, 90, 180, 270}, p.Turn)
		}
	})
}
