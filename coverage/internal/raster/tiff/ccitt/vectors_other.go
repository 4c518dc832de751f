//go:build !amd64

package ccitt

// hasVectors: on this processor rows are decoded without.
var hasVectors = false

func advanceByChunks(*rows, *place, *chunkTable) { panic("no vectors") }
