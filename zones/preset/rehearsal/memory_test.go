package rehearsal

import (
	"bytes"
	"context"
	"runtime"
	"testing"
	"time"

	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sync/semaphore"
)

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

// TestWaitingForMemory: an ink waits while others hold what it needs, and gives up with
// its context; one whose train needs more than there is comes in its turn.
func TestWaitingForMemory(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), even(0.3))
	for _, held := range []*semaphore.Weighted{memory.steady, memory.sheets} {
		all := int64(steadyMemory)
		if held == memory.sheets {
			all = sheetsMemory
		}
		require.True(t, held.TryAcquire(all))
		ctx, stop := context.WithTimeout(context.Background(), 20*time.Millisecond)
		_, err := Of(ctx, in)
		stop()
		held.Release(all)
		assert.ErrorIs(t, err, context.DeadlineExceeded)
	}
}

// TestRoomForTheLargest: an ink whose sheets take more than there is for all waits for
// all of it, and has its turn.
func TestRoomForTheLargest(t *testing.T) {
	train, err := preset.NewTrain(zonestest.Shipped(t, "four-colour"), rollers.Grid{SlotMM: 1, Columns: 16})
	require.NoError(t, err)
	require.Greater(t, inkStates*train.StateBytes(), sheetsMemory)
	held := false
	require.NoError(t, (&stage{train: train}).holding(t.Context(), func() error {
		held = !memory.sheets.TryAcquire(1)
		return nil
	}))
	assert.True(t, held)
	require.True(t, memory.sheets.TryAcquire(sheetsMemory), "it is given back")
	memory.sheets.Release(sheetsMemory)
}
