//go:build !amd64

package coverage

// hasVectors: on this processor the counters do without.
var hasVectors = false

func addPiece(*planes, *byte, int, *[batchRows][4]uint64) { panic("no vectors") }

func addGroup(_ *bytePiece, _, _, _, _ *pieceRow, _ *rowSums) { panic("no vectors") }

func spread(*[groupBytes]uint32, *bytePiece) { panic("no vectors") }

func addEnds(*uint16, *int32, int) uint64 { panic("no vectors") }

const stepsAtOnce = 16

func addSteps(*uint16, int, uint16) (uint32, uint16) { panic("no vectors") }
