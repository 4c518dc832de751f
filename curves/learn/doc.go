// Package learn makes a curve from what was run on the press.
//
// In go runs: of each finished job, ink by ink, the sweep and, zone by zone, the
// coverage in % and the opening in % of travel at which the sheet was right. Out
// comes a curve that follows them, with what each reading differs from it by,
// how far every key's zero is off, and doubts in plain sentences. A key that
// stood at an end of its range is a censored reading, a bound on what its zone
// wanted.
//
// The fit is of penalized least squares over curves that never fall, with
// Huber's weights; the documentation of the type fitting states the objective,
// its sources and how it is solved. The same runs give the same curve, in
// whatever order they come. Errors name the run and zone.
package learn
