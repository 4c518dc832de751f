package rehearsal

import (
	"context"
	"testing"

	"bladeline/zones/press"

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
