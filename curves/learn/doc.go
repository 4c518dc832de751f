// Package learn makes a curve from what was run on the press.
//
// A [Run] is one ink of a finished job: its sweep, in the press's unit, and zone
// by zone the coverage in % and the opening in % of travel at which the sheet was
// right. From runs and the curve in use [Fit] makes a curve that follows them,
// and says by how much each reading differs from it, how far each key's zero is
// off, and in plain sentences what to doubt. A key that stood at an end of its
// range is a censored reading, a bound on what its zone wanted.
//
// The curve is the one of least squares, weighted after P. J. Huber (Ann. Math.
// Statist. 35, 1964), among those that never fall, and held where there are no
// data to the shape of the one in use. It is found by the non-negative least
// squares of C. L. Lawson and R. J. Hanson (Solving Least Squares Problems,
// 1974). The same runs give the same curve, in whatever order they come. Errors
// name the run and zone.
package learn
