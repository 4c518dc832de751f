package main

import (
	"fmt"
	"math"
	"slices"
)

// evenPct is the aim: films within so many % of their mean.
const evenPct = 5

// A table is what ways to preset leave, by way and press.
type table struct {
	ways, presses []string
	cells         map[[2]string]*cell
}

// A cell is the films of one way on one press.
type cell struct {
	off     []float64 // in %, without sign
	outside int       // beyond 5 %
}

func newTable() *table { return &table{cells: map[[2]string]*cell{}} }

// add adds the films of a form; those that are not numbers do not print.
func (t *table) add(way, press string, off []float64) {
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
	for _, v := range off {
		if math.IsNaN(v) {
			continue
		}
		c.off = append(c.off, math.Abs(v))
		if math.Abs(v) > evenPct {
			c.outside++
		}
	}
}

// print prints the table as Markdown.
func (t *table) print() {
	fmt.Println("| preset | press | rms | 95 % of zones within | zones within 5 % |\n|---|---|---|---|---|")
	for _, way := range t.ways {
		for _, press := range t.presses {
			c := t.cells[[2]string{way, press}]
			slices.Sort(c.off)
			sum := 0.0
			for _, v := range c.off {
				sum += v * v
			}
			n := float64(len(c.off))
			fmt.Printf("| %s | %s | %.1f %% | %.1f %% | %.1f %% |\n", way, press, math.Sqrt(sum/n),
				c.off[min(len(c.off)-1, int(math.Ceil(0.95*n))-1)], 100*(1-float64(c.outside)/n))
		}
	}
}

// An aim is how near presets by the train of one press come to it.
type aim struct {
	press                   string
	forms, evened           int // evened: forms that keys can even
	zones, named            int
	zonesEvened, within     int // of forms that keys can even
	outside, outsideUnnamed int // of all
}

func (a *aim) add(t trial) {
	a.forms++
	if t.evened {
		a.evened++
	}
	for i, off := range t.presets[len(t.presets)-1].off {
		if math.IsNaN(off) {
			continue
		}
		a.zones++
		outside := math.Abs(off) > evenPct
		if t.evened {
			a.zonesEvened++
			if !outside {
				a.within++
			}
		}
		if t.named[i] {
			a.named++
		}
		if outside {
			a.outside++
			if !t.named[i] {
				a.outsideUnnamed++
			}
		}
	}
}

func printAims(aims []aim) {
	fmt.Println("| press | forms that keys can even | their zones within 5 % | zones of all forms named beforehand | outside | outside and not named |\n|---|---|---|---|---|---|")
	for _, a := range aims {
		fmt.Printf("| %s | %d of %d | %.1f %% of %d | %.1f %% of %d | %d | %d |\n", a.press, a.evened, a.forms,
			100*float64(a.within)/float64(max(1, a.zonesEvened)), a.zonesEvened, 100*float64(a.named)/float64(a.zones), a.zones, a.outside, a.outsideUnnamed)
	}
}
