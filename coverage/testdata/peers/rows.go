package main

import (
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
)

// A row is one plate read by bladeline and by one other program.
type row struct {
	title  string
	plate  plate
	peer   peer
	once   bool   // the peer is too slow to be run more often, or to warm up
	strips string // of a kind: how its rows are kept
}

// missing tells of a peer that is not built here and is not installed.
func (r row) missing() bool {
	if r.peer.name != vips.name {
		return false
	}
	_, err := exec.LookPath(vips.name)
	return err != nil
}

// comparisons are the rows of the first table.
func comparisons() []row {
	var rows []row
	for _, p := range plates {
		c := tiffcount
		if filepath.Ext(p.file) == ".png" {
			c = pngcount
		}
		rows = append(rows, row{title: p.title, plate: p, peer: c})
	}
	return append(rows, row{title: "Group 4, 256-row strips: vips project", plate: plates[0], peer: vips, once: true})
}

// growths are the rows of the second table.
func growths() []row {
	var rows []row
	for _, p := range append(parts[:len(parts):len(parts)], plates[0]) {
		rows = append(rows, row{title: "growth", plate: p, peer: tiffcount})
	}
	return rows
}

func selected(rows []row, only *regexp.Regexp) []row {
	return slices.DeleteFunc(rows, func(r row) bool {
		return !only.MatchString(r.title) && !only.MatchString(r.plate.file)
	})
}
