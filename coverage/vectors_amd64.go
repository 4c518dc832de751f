package coverage

import "golang.org/x/sys/cpu"

// hasVectors tells if the processor has the 256-bit vectors that the counters
// then use: AVX2. Each of the functions below does what Go code beside its call
// does.
var hasVectors = cpu.X86.HasAVX2

// addPiece adds one piece of batchRows rows, stride bytes apart from data on,
// to the planes, and the ones of each to ones, in four parts.
//
//go:noescape
func addPiece(p *planes, data *byte, stride int, ones *[batchRows][4]uint64)

// addGroup adds one piece of groupRows rows to the lanes, and what the words of
// each hold to sums.
//
//go:noescape
func addGroup(p *bytePiece, r0, r1, r2, r3 *pieceRow, sums *rowSums)

// spread moves the counts of a piece to its lanes.
//
//go:noescape
func spread(lanes *[groupBytes]uint32, p *bytePiece)

// addEnds adds n ends of runs, an even number, to the steps of edges, and returns
// their ink.
//
//go:noescape
func addEnds(steps *uint16, ends *int32, n int) (ink uint64)

// stepsAtOnce are what addSteps takes a multiple of.
const stepsAtOnce = 16

// addSteps does what sumSteps does.
//
//go:noescape
func addSteps(steps *uint16, n int, covered uint16) (sum uint32, last uint16)
