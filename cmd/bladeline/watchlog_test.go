package main

import (
	"testing"

	"bladeline/cmd/bladeline/internal/hotfolder"

	"github.com/stretchr/testify/assert"
)

// One ink holds nothing, several hold nothing.
func TestBlankInksInLog(t *testing.T) {
	e := hotfolder.Entry{Kind: hotfolder.Done, Job: "fair", Files: 1, Blank: []string{"Cyan"}}
	assert.Contains(t, textLine(e), "no unit for Cyan, which holds nothing")
	e.Blank = append(e.Blank, "Yellow")
	assert.Contains(t, textLine(e), "no unit for Cyan, Yellow, which hold nothing")
}
