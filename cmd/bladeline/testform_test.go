package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// coveragesIn are the column coverage_pct of a table.
func coveragesIn(t *testing.T, data []byte) (all []float64) {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	require.NoError(t, err)
	for at, name := range rows[0] {
		for _, row := range rows[1:] {
			if name == "coverage_pct" {
				v, err := strconv.ParseFloat(row[at], 64)
				require.NoError(t, err)
				all = append(all, v)
			}
		}
	}
	require.NotEmpty(t, all)
	return all
}

// measured are the coverages that measure finds of a file in a press's zones.
func measured(t *testing.T, press, file string) []float64 {
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"measure", "--press", press, "--format", "csv", "Black=" + file}, nil, &stdout, &stderr), stderr.String())
	return coveragesIn(t, stdout.Bytes())
}

// TestTestFormMeasuresAsStated holds the files against the table that states them,
// and the PDF as Ghostscript renders it at its own resolution, pixel by pixel.
func TestTestFormMeasuresAsStated(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, press := range job.Shipped(job.PressKind) {
		for _, form := range []string{"test.tif", "test.png", "test.pdf"} {
			var stdout, stderr bytes.Buffer
			require.Equal(t, statusDone, run([]string{"testform", press, "--dpi", "300", "-o", form, "-o", "pull.csv"}, nil, &stdout, &stderr), stderr.String())
			pull, err := os.ReadFile("pull.csv")
			require.NoError(t, err)
			if form == "test.pdf" {
				out, err := exec.Command("gs", "-dSAFER", "-q", "-sDEVICE=tiffg4", "-r300", "-o", "test.tif", form).CombinedOutput()
				require.NoError(t, err, string(out))
				form = "test.tif"
			}
			found := measured(t, press, form)
			for i, want := range coveragesIn(t, pull) {
				assert.InDelta(t, want, found[i], 1e-9, "%s on %s: zone %d", form, press, i+1)
			}
		}
	}
}

// TestTestFormIsReadByLibtiff has tiffinfo say what was written, where libtiff is at
// hand, as make test has it.
func TestTestFormIsReadByLibtiff(t *testing.T) {
	t.Chdir(t.TempDir())
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"testform", "two-colour", "-o", "test.tif"}, nil, &stdout, &stderr), stderr.String())
	out, err := exec.Command("tiffinfo", "-D", "test.tif").CombinedOutput()
	require.NoError(t, err, string(out))
	for _, line := range []string{"Image Width: 15750 Image Length: 11338", "Resolution: 600, 600 pixels/inch", "Bits/Sample: 1", "Compression Scheme: CCITT Group 4", "Photometric Interpretation: min-is-white"} {
		assert.Contains(t, string(out), line)
	}
	assert.NotContains(t, strings.ToLower(string(out)), "warning")
}
