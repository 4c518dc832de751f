package rehearsal

import (
	"bytes"
	"context"
	"runtime"
	"testing"

	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAtOnce: what is held at once never takes more than it may, unless one ink by itself
// does, and whichever the cores, something is under way.
func TestAtOnce(t *testing.T) {
	for _, state := range []int{1 << 10, 1 << 20, 2_220_032, 32 << 20} {
		for _, basis := range []int{18, 53, 88} {
			for cores := 1; cores <= 64; cores *= 2 {
				inks, steady := atOnce(state, basis*state, cores)
				require.True(t, 1 <= steady && steady <= inks && inks <= cores)
				if inks > 1 {
					assert.LessOrEqual(t, inks*inkStates*state+steady*basis*state, MostMemory)
				}
			}
		}
	}
}

// TestInksShareMemory: a train as large as one of 32 zones of the usual width has two inks
// at a time, one steady state between them, on however many cores; a small one as many as
// there are cores.
func TestInksShareMemory(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(8))
	in := Input{On: zonestest.Shipped(t, "four-colour")}
	assert.Equal(t, 2, in.bounded())
	assert.Equal(t, 1, cap(in.settling))
	in.On = smallPress(press.Left)
	assert.Equal(t, 8, in.bounded())
	assert.Equal(t, 8, cap(in.settling))
}

// inksOf is an input of so many inks that print the same.
func inksOf(in Input, inks ...string) Input {
	forms, first := map[string]*zones.Form{}, in.Preset.Units[0]
	in.Preset.Units = nil
	for _, ink := range inks {
		u := first
		u.Ink = ink
		in.Preset.Units = append(in.Preset.Units, u)
		forms[ink] = in.Forms[first.Ink]
	}
	in.Forms = forms
	return in
}

// TestInksOnAnyCores: several inks with their maps come out byte for byte the same however
// many are worked out at once, and where they wait for each other's memory.
func TestInksOnAnyCores(t *testing.T) {
	in := inksOf(inputOf(t, smallPress(press.Left), barred, 1, 1.1, 1, 0.9, 1, 1), "Black", "Cyan", "Yellow")
	in.FineMap = true
	var want []byte
	for _, cores := range []int{1, 2, 5} {
		func() {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
			r, err := Of(context.Background(), in)
			require.NoError(t, err)
			var got bytes.Buffer
			require.NoError(t, r.WriteJSON(&got))
			if want == nil {
				want = got.Bytes()
			}
			assert.Equal(t, string(want), got.String(), "%d cores", cores)
		}()
	}
}

// TestWaitingForMemoryEnds with the context.
func TestWaitingForMemoryEnds(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), even(0.3))
	in.settling = make(chan struct{}) // no token, ever
	s, err := newStage(in, &in.Preset.Units[0])
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	assert.ErrorIs(t, s.settle(ctx), context.Canceled)
}
