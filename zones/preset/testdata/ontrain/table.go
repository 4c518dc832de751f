package main

import (
	"fmt"
	"math"
	"slices"
)

// A table is what ways to preset leave, by way and press.
type table struct {
	ways, presses []string
	cells         map[[2]string]*cell
}

// A cell is the films of one way on one press.
type cell struct {
	off     []float64 // in %, without sign
	outside int       // beyond 5 %
	unnamed int       // of them, that nobody said beforehand
}

func newTable() *table { return &table{cells: map[[2]string]*cell{}} }

// add adds the films of a form; those that are not numbers do not print.
func (t *table) add(way, press string, off []float64, named []bool) {
	if !slices.Contains(t.ways, way) {
		t.ways = append(t.ways, way)
	}
	if !slices.Contains(t.presses, press) {
		t.presses = append(t.presses, press)
	}
	at := [2]string{way, press}
	if t.cells[at] == nil {
		t.cells[at] = &cell{}
	}
	c := t.cells[at]
	for i, v := range off {
		if math.IsNaN(v) {
			continue
		}
		c.off = append(c.off, math.Abs(v))
		if math.Abs(v) > 5 {
			c.outside++
			if !named[i] {
				c.unnamed++
			}
		}
	}
}

// print prints the table as Markdown.
func (t *table) print() {
	fmt.Println("| preset | press | rms | 95 % of zones within | zones within 5 % | outside and not named |\n|---|---|---|---|---|---|")
	for _, way := range t.ways {
		for _, press := range t.presses {
			c := t.cells[[2]string{way, press}]
			slices.Sort(c.off)
			sum := 0.0
			for _, v := range c.off {
				sum += v * v
			}
			n := float64(len(c.off))
			fmt.Printf("| %s | %s | %.1f %% | %.1f %% | %.1f %% | %.1f %% |\n", way, press, math.Sqrt(sum/n),
				c.off[min(len(c.off)-1, int(math.Ceil(0.95*n))-1)], 100*(1-float64(c.outside)/n), 100*float64(c.unnamed)/n)
		}
	}
}
