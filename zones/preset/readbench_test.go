package preset

import (
	"bytes"
	"encoding/csv"
	"io"
	"testing"
	"time"

	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/require"
)

// fourInks is an OK file of four inks in 21 zones, on a scale in % or in eighths of a turn.
func fourInks(t testing.TB, on *press.Press) []byte {
	var units []laidUnit
	for i, ink := range []string{"Cyan", "Magenta", "Yellow", "Black"} {
		var coverages []float64
		for zone := range on.Fountain.Zones {
			coverages = append(coverages, float64((zone*37+i*11)%97)/3)
		}
		units = append(units, unitOf(t, ink, coverages...))
	}
	p := presetOf(t, on, units...)
	require.NoError(t, p.StateRun(Run{Paper: "coated", Length: 5000, Date: "2026-03-14"}))
	for i := range p.Units {
		for j := range p.Units[i].Keys {
			k := &p.Units[i].Keys[j]
			k.OKKey = new(k.Key + on.Keys.Step*float64(j%2))
		}
	}
	return []byte(csvOf(t, p))
}

// BenchmarkReadOK reads OK files as a shop's history does, thousands of them. The
// metric says how many times as long it takes as encoding/csv alone, measured beside it.
func BenchmarkReadOK(b *testing.B) {
	percent := zonestest.Press(21, 31.75)
	turns := zonestest.Press(21, 31.75)
	turns.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125}
	for name, on := range map[string]*press.Press{"percent": percent, "turns": turns} {
		data := fourInks(b, on)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			var whole, bare time.Duration
			for b.Loop() {
				began := time.Now()
				p, err := ReadCSV("ok.csv", bytes.NewReader(data))
				require.NoError(b, err)
				require.NoError(b, p.IsFor(on, "ok.csv"))
				whole += time.Since(began)
				began = time.Now()
				for r := csv.NewReader(bytes.NewReader(data)); ; {
					if _, err := r.Read(); err == io.EOF {
						break
					}
				}
				bare += time.Since(began)
			}
			b.ReportMetric(float64(whole)/float64(bare), "×csv")
		})
	}
}
