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

// plotCurve draws a curve over 0 to 100 % both ways: its points as o, what
// runs between them as dots.
func plotCurve(c *curves.Curve) string {
	var cells [plotRows][plotColumns]rune
	for y := range cells {
		for x := range cells[y] {
			cells[y][x] = ' '
		}
	}
	for x := range plotColumns {
		cells[plotRow(c.At(100*float64(x)/(plotColumns-1)))][x] = '.'
	}
	for _, p := range c.Points {
		cells[plotRow(p.OpeningPct)][plotPlace(p.CoveragePct, plotColumns)] = 'o'
	}
	var b strings.Builder
	b.WriteString("opening %\n")
	for y := plotRows - 1; y >= 0; y-- {
		label := ""
		if percent := 100 * y / (plotRows - 1); percent%20 == 0 {
			label = fmt.Sprint(percent)
		}
		fmt.Fprintf(&b, "%4s |%s\n", label, strings.TrimRight(string(cells[y][:]), " "))
	}
	b.WriteString("     +" + strings.Repeat("-", plotColumns) + "\n")
	b.WriteString("      0         20        40        60        80       100  coverage %\n")
	return b.String()
}

func plotRow(openingPct float64) int { return plotPlace(openingPct, plotRows) }

func plotPlace(percent float64, places int) int {
	return int(math.Round(percent / 100 * float64(places-1)))
}
