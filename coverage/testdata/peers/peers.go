package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strconv"
)

// A peer is a program that reads a plate.
type peer struct {
	name    string
	command func(t tools, plate string) []string
	// coverage is what the program found, in per cent, of every channel.
	coverage func(t tools, stdout []byte) ([]float64, error)
}

var (
	bladeline = peer{"bladeline", func(t tools, plate string) []string {
		return []string{t.path("bladeline"), "measure", "--format", "json", plate}
	}, fromJSON}
	tiffcount = peer{"tiffcount", func(t tools, plate string) []string {
		return []string{t.path("tiffcount"), plate}
	}, fromLines}
	pngcount = peer{"pngcount", func(t tools, plate string) []string {
		return []string{t.path("pngcount"), plate}
	}, fromLines}
	vips = peer{"vips", func(t tools, plate string) []string {
		return []string{"vips", "project", plate, t.path("columns.csv"), t.path("rows.csv")}
	}, fromSums}
)

func fromJSON(_ tools, stdout []byte) ([]float64, error) {
	var report struct {
		Separations []struct {
			CoveragePct float64 `json:"coverage_pct"`
		}
	}
	if err := json.Unmarshal(stdout, &report); err != nil {
		return nil, err
	}
	var pct []float64
	for _, s := range report.Separations {
		pct = append(pct, s.CoveragePct)
	}
	return pct, nil
}

// fromLines reads what the C programs print.
func fromLines(_ tools, stdout []byte) ([]float64, error) {
	var pct []float64
	for line := range bytes.Lines(stdout) {
		var channel int
		var ink uint64
		var v float64
		if _, err := fmt.Sscanf(string(line), "channel %d: ink %d, coverage_pct %g", &channel, &ink, &v); err != nil {
			return nil, fmt.Errorf("%q: %w", line, err)
		}
		pct = append(pct, v)
	}
	return pct, nil
}

// fromSums reads the sums of columns and rows that vips wrote, of one channel
// whose paper is 255.
func fromSums(t tools, _ []byte) ([]float64, error) {
	width, columns, err := sum(t.path("columns.csv"))
	if err != nil {
		return nil, err
	}
	height, rows, err := sum(t.path("rows.csv"))
	if err != nil {
		return nil, err
	}
	if columns != rows {
		return nil, fmt.Errorf("its columns add up to %d and its rows to %d", columns, rows)
	}
	full := width * height * 255
	return []float64{100 * float64(full-rows) / float64(full)}, nil
}

func sum(path string) (n, total uint64, err error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return 0, 0, err
	}
	for field := range bytes.FieldsSeq(text) {
		v, err := strconv.ParseUint(string(field), 10, 64)
		if err != nil {
			return 0, 0, fmt.Errorf("%s: %w", path, err)
		}
		n++
		total += v
	}
	return n, total, nil
}
