// Package curves turns coverage into key openings: the transfer curve, the
// sweep, and the limits that hold a key. Floats in, floats out; it knows
// nothing of rasters or of presses.
package curves
