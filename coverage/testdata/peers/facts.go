package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// Facts are what the generator knows of a plate that it drew; they are kept
// beside it.
type facts struct {
	pct         []float64 // coverage of every channel
	transitions uint64    // of one bit a pixel
}

func factsPath(plate string) string {
	return strings.TrimSuffix(plate, filepath.Ext(plate)) + ".facts"
}

// readFacts reads what the generator printed.
func readFacts(plate string) (facts, error) {
	var f facts
	text, err := os.ReadFile(factsPath(plate))
	if err != nil {
		return f, err
	}
	lines, last, found := bytes.Cut(text, []byte("transitions "))
	if found {
		if _, err := fmt.Sscan(string(last), &f.transitions); err != nil {
			return f, fmt.Errorf("%s: %w", factsPath(plate), err)
		}
	}
	if f.pct, err = fromLines(tools{}, lines); err != nil {
		return f, fmt.Errorf("%s: %w", factsPath(plate), err)
	}
	return f, nil
}
