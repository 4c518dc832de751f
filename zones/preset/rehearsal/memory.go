package rehearsal

import (
	"context"

	"bladeline/curves/rollers"

	"golang.org/x/sync/semaphore"
)

// MostMemory is what all rehearsals of a program hold together, bytes, on any number of
// cores; garbage comes on top of it, which a program keeps low with
// [debug.SetMemoryLimit].
const MostMemory = steadyMemory + sheetsMemory

// steadyMemory is for steady states while they are looked for, which takes most, and
// sheetsMemory for inks while their sheets are followed. A train that needs
// more waits until it has all of it.
const (
	steadyMemory = 112 << 20
	sheetsMemory = 48 << 20
)

// inkStates is what an ink holds while its sheets are followed, in states of its train:
// the steady one and its form, those from which runs begin and in which they end, and
// what turns.
const inkStates = 10

// memory is the program's: commands that work on many presets at once, and servers, ask
// for rehearsals side by side, which know nothing of each other.
var memory = struct{ steady, sheets *semaphore.Weighted }{semaphore.NewWeighted(steadyMemory), semaphore.NewWeighted(sheetsMemory)}

// holding does something once there is room for the sheets of the stage's ink. It must
// not nest, lest two inks wait for each other.
func (s *stage) holding(ctx context.Context, do func() error) error {
	return holding(ctx, memory.sheets, min(inkStates*s.train.StateBytes(), sheetsMemory), do)
}

// holding does something once there is room for so many bytes.
func holding(ctx context.Context, in *semaphore.Weighted, bytes int, do func() error) error {
	if in.Acquire(ctx, int64(bytes)) != nil {
		return context.Cause(ctx)
	}
	defer in.Release(int64(bytes))
	return do()
}

// steadyNear is the steady state of a form and a setting, looked for from one that is
// near, or at nil from what the line says; it waits for its memory.
func (s *stage) steadyNear(ctx context.Context, near *rollers.State, form rollers.Form, setting rollers.Setting) (st *rollers.Steady, err error) {
	err = holding(ctx, memory.steady, min(s.train.SteadyBytes(), steadyMemory), func() error {
		if near == nil {
			st, err = s.train.Steady(ctx, form, setting)
		} else {
			st, err = s.train.SteadyNear(ctx, near, form, setting)
		}
		return err
	})
	return st, err
}
