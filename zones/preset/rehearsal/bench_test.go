package rehearsal

import (
	"context"
	"runtime/debug"
	"runtime/metrics"
	"testing"
	"time"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/require"
)

// BenchmarkRehearsal rehearses one ink on a small press: all of it, with the map of the
// sheet in fine cells, and as a page does, piece by piece. What the parts of a large
// train take curves/rollers measures.
func BenchmarkRehearsal(b *testing.B) {
	in := inputOf(b, smallPress(press.Left), barred, 1, 1.1, 1, 0.9, 1, 1)
	u := &in.Preset.Units[0]
	s, err := newStage(in, u)
	require.NoError(b, err)
	fine := in
	fine.FineMap = true
	for _, part := range []struct {
		name string
		do   func(ctx context.Context) error
	}{
		{"all", func(ctx context.Context) error { _, err := Of(ctx, in); return err }},
		{"all and fine map", func(ctx context.Context) error { _, err := Of(ctx, fine); return err }},
		{"line", func(context.Context) error { (&Run{s}).Line(); return nil }},
		{"settled", func(ctx context.Context) error { _, err := (&Run{s}).Settle(ctx); return err }},
		{"started", func(ctx context.Context) error {
			settled, err := (&Run{s}).Settle(ctx)
			if err == nil {
				_, err = settled.Started(ctx)
			}
			return err
		}},
	} {
		b.Run(part.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				require.NoError(b, part.do(context.Background()))
			}
		})
	}
}

// BenchmarkInks rehearses five inks with their maps on the widest press that ships, and
// tells the most memory that the Go runtime holds meanwhile, under the limit that the
// command sets.
func BenchmarkInks(b *testing.B) {
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(MostMemory))
	on := zonestest.Shipped(b, "four-colour")
	rows := make([][]uint64, 71) // cells of 10 mm
	for y := range rows {
		for x := range 104 {
			rows[y] = append(rows[y], uint64(100+(x*x+7*y)%300))
		}
	}
	m := zonestest.MapOf(1000, 2.54, 2.54, rows...)
	m.Ink, m.Cells = "Black", zonestest.CellsOf(rows, 1, 1)
	f, err := zones.Lay(m, on, zones.Placement{LeadEdge: zones.Bottom})
	require.NoError(b, err)
	p, err := preset.New("Regatta", on, []preset.UnitInput{{Form: f, Curve: zonestest.LineCurve(b)}}, preset.ByKeys)
	require.NoError(b, err)
	in := inksOf(Input{Preset: p, On: on, Forms: map[string]*zones.Form{"Black": f}, FineMap: true}, "Black", "Cyan", "Magenta", "Yellow", "Harbour Red")
	stop, peak := make(chan struct{}), make(chan uint64)
	go func() { peak <- mostHeld(stop) }()
	for b.Loop() {
		_, err := Of(context.Background(), in)
		require.NoError(b, err)
	}
	close(stop)
	b.ReportMetric(float64(<-peak)/(1<<20), "peak-MiB")
}

// mostHeld is the most memory that the runtime has of the system, bytes, until it is
// stopped.
func mostHeld(stop <-chan struct{}) (most uint64) {
	held := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	for {
		metrics.Read(held)
		most = max(most, held[0].Value.Uint64()-held[1].Value.Uint64())
		select {
		case <-stop:
			return most
		case <-time.After(5 * time.Millisecond):
		}
	}
}
