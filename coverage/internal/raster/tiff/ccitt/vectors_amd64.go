package ccitt

import "golang.org/x/sys/cpu"

// hasVectors tells if the processor has what advanceByChunks uses: AVX2 and
// BMI2.
var hasVectors = cpu.X86.HasAVX2 && cpu.X86.HasBMI2

// advanceByChunks decodes as much of a two-dimensional row as it can by chunks
// and, where these do not fit, some codes by themselves (all that are left, if
// r.scattered), and counts in r.stops how often that was. It leaves the first code
// that neither can take, or where the buffer holds too few bits, to single; what
// single then does is what it would have done with every code before.
//
//go:noescape
func advanceByChunks(r *rows, p *place, t *chunkTable)
