package coverage

import (
	"context"
	"runtime"
)

// Workers bound what measuring takes at once, of cores and of memory, among all
// files that are measured with the same. A server makes them once; a second set
// beside it takes as much again.
type Workers struct {
	cores       chan struct{} // a token for every worker
	memoryBound chan struct{} // one for every worker whose decoder takes memoryBoundBytes or more, beside that of its core
	windows     chan struct{} // one for every window of a file that is open: they count as the program's memory
}

// What memory is enough for: workers, and of these how many of memoryBoundBytes or
// more; and windows.
const (
	mostCores       = 16
	mostMemoryBound = 3
	mostWindows     = 2

	memoryBoundBytes = 2 << 20
)

// NewWorkers are at most so many, and at most 16; one for each core that Go uses
// where cores is less than 1.
func NewWorkers(cores int) *Workers {
	if cores < 1 {
		cores = runtime.GOMAXPROCS(0)
	}
	return &Workers{
		cores:       make(chan struct{}, min(cores, mostCores)),
		memoryBound: make(chan struct{}, mostMemoryBound),
		windows:     make(chan struct{}, mostWindows),
	}
}

// orOwn are the workers, or new ones where none were made.
func (w *Workers) orOwn() *Workers {
	if w == nil || w.cores == nil {
		return NewWorkers(0)
	}
	return w
}

// enter waits for the tokens that a worker needs, as long as measuring is not
// stopped.
func (w *Workers) enter(ctx context.Context, memoryBound bool) (leave func(), err error) {
	needs := []chan struct{}{w.cores}
	if memoryBound {
		needs = []chan struct{}{w.memoryBound, w.cores} // in this order, or those that wait would hold cores idle
	}
	held := 0
	leave = func() {
		for _, tokens := range needs[:held] {
			<-tokens
		}
	}
	for ; held < len(needs); held++ {
		select {
		case needs[held] <- struct{}{}:
		case <-ctx.Done():
			leave()
			return nil, stopped(ctx)
		}
	}
	return leave, nil
}
