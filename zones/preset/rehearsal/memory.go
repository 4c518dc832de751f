package rehearsal

import (
	"context"
	"runtime"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
)

// MostMemory is what all inks of a rehearsal hold together, bytes, on any number of
// cores, unless one by itself needs more; garbage comes on top of it, which a program
// keeps low with [debug.SetMemoryLimit].
const MostMemory = 160 << 20

// inkStates is what an ink holds while its sheets are followed, in states of its train:
// the steady one and its form, those from which runs begin and in which they end, and
// what turns.
const inkStates = 10

// atOnce bounds by their memory how many inks are worked out side by side, on so many
// cores, and how many of these look for a steady state, which takes most, at the same time.
func atOnce(stateBytes, steadyBytes, cores int) (inks, steady int) {
	inkBytes := inkStates * stateBytes
	inks = max(1, min(cores, (MostMemory-steadyBytes)/inkBytes))
	steady = max(1, min(inks, (MostMemory-inks*inkBytes)/steadyBytes))
	return inks, steady
}

// bounded has the input's inks share memory, and says how many may be worked out at once.
func (in *Input) bounded() (inks int) {
	train, err := preset.NewTrain(in.On, rollers.Fine)
	if err != nil {
		return 1 // the first ink says so
	}
	inks, steady := atOnce(train.StateBytes(), train.SteadyBytes(), runtime.GOMAXPROCS(0))
	in.settling = make(chan struct{}, steady)
	return inks
}

// steadyNear is the steady state of a form and a setting, looked for from one that is
// near, or at nil from what the line says; it waits for its memory.
func (s *stage) steadyNear(ctx context.Context, near *rollers.State, form rollers.Form, setting rollers.Setting) (*rollers.Steady, error) {
	if s.settling != nil {
		select {
		case s.settling <- struct{}{}:
			defer func() { <-s.settling }()
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}
	if near == nil {
		return s.train.Steady(ctx, form, setting)
	}
	return s.train.SteadyNear(ctx, near, form, setting)
}
