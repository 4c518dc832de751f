package rollers

import (
	"context"
	"math/rand/v2"
	"testing"
)

// job is an ink on the 26-inch train, over so many zones: a random form that is
// uneven along the sheet, and the line's keys.
func job(b testing.TB, zones int) (*Model, Form, Setting) {
	m := model(b, outOfStep(sheetfed()), Fountain{zones, 31.75}, Fine)
	r := rand.New(rand.NewPCG(3, 1))
	f := Form{Rows: m.Slots(), Columns: m.Columns(), Cover: make([]float64, m.Slots()*m.Columns())}
	zone := make([]float64, zones)
	for z := range zone {
		zone[z] = 0.05 + 0.5*r.Float64()
	}
	for slot := range f.Rows {
		for j := range f.Columns {
			f.Cover[slot*f.Columns+j] = zone[j*zones/f.Columns] * (0.7 + 0.6*r.Float64())
		}
	}
	keys := make([]float64, zones)
	for z, c := range zone {
		keys[z] = m.line.FeedUM(1, c, 0)
	}
	return m, f, Setting{OpeningPct: keys}
}

var zonesOfBenchmarks = map[string]int{"21 zones": 21, "32 zones": 32}

func BenchmarkSteady(b *testing.B) {
	for name, zones := range zonesOfBenchmarks {
		b.Run(name, func(b *testing.B) {
			m, f, s := job(b, zones)
			for b.Loop() {
				if _, err := m.Steady(context.Background(), f, s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSolve(b *testing.B) {
	for name, zones := range zonesOfBenchmarks {
		b.Run(name, func(b *testing.B) {
			m, f, _ := job(b, zones)
			for b.Loop() {
				if _, err := m.Solve(context.Background(), f, free(zones)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A thousand sheets from clean rollers.
func BenchmarkStartup(b *testing.B) {
	for name, zones := range zonesOfBenchmarks {
		b.Run(name, func(b *testing.B) {
			m, f, s := job(b, zones)
			for b.Loop() {
				if _, err := m.Run(context.Background(), m.Clean(), f, s, 1000); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkLine(b *testing.B) {
	t := sheetfed()
	laid := spread(b, t)
	for b.Loop() {
		if _, err := NewLine(t, laid); err != nil {
			b.Fatal(err)
		}
	}
}
