package main

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves"
)

// Size of a plot of plain characters: one column every 2 % of coverage, one
// row every 5 % of opening.
const (
	plotColumns = 51
	plotRows    = 21
)

// A plot is a drawing in plain characters over 0 to 100 % coverage and
// opening. What is drawn later covers what is there.
type plot [plotRows][plotColumns]rune

// curve draws a curve: what runs between its points, and the points.
func (p *plot) curve(c *curves.Curve, line, point rune) {
	for x := range plotColumns {
		p[plotRow(c.At(100*float64(x)/(plotColumns-1)))][x] = line
	}
	for _, at := range c.Points {
		p.point(at.CoveragePct, at.OpeningPct, point)
	}
}

// point draws a point, at the field's edge where it lies beyond.
func (p *plot) point(coveragePct, openingPct float64, mark rune) {
	p[plotRow(min(max(openingPct, 0), 100))][plotPlace(coveragePct, plotColumns)] = mark
}

func (p *plot) String() string {
	var b strings.Builder
	b.WriteString("opening %\n")
	for y := plotRows - 1; y >= 0; y-- {
		label := ""
		if percent := 100 * y / (plotRows - 1); percent%20 == 0 {
			label = fmt.Sprint(percent)
		}
		row := strings.ReplaceAll(string(p[y][:]), "\x00", " ")
		fmt.Fprintf(&b, "%4s |%s\n", label, strings.TrimRight(row, " "))
	}
	b.WriteString("     +" + strings.Repeat("-", plotColumns) + "\n")
	b.WriteString("      0         20        40        60        80       100  coverage %\n")
	return b.String()
}

func plotRow(openingPct float64) int { return plotPlace(openingPct, plotRows) }

func plotPlace(percent float64, places int) int {
	return int(math.Round(percent / 100 * float64(places-1)))
}
