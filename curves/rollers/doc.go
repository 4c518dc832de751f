// Package rollers computes what the roller train of a press prints: the ink film
// on the sheet from the ink that the keys let onto the fountain roller and from
// what the plate takes, and back. Floats go in and floats come out; it knows
// nothing of presses' files, forms or sheets.
//
// Films are in µm, lengths in mm, angles in degrees counter-clockwise from the
// right, coverages from 0 to 1. Columns run along the fountain from its left end,
// in bench view; slots run round a surface, and along the sheet from its gripper
// edge.
//
// [Lay] says where rollers lie. [NewLine] is the law of a train for even films, in
// microseconds. A [Model] follows films slot by slot and column by column: what it
// prints once it has settled ([Model.Steady], with [Steady.Ghosts]), sheet by sheet
// from a start ([Model.Run]), after which charge it stands soonest
// ([Model.Charge]), and which keys print evenly ([Model.Solve]). [Model.FitJobs]
// and [Line.Fit] find the two numbers of a press that no caliper tells.
//
// Every nip splits the film in half: films a and b come in, and both leave with
// (a+b)/2. So ink is conserved, and all that follows is linear. Speed does not
// occur in it. What is left out: water and emulsion, tack, temperature, slip,
// swollen rollers, and what the paper does with the ink. Results are trends until
// the train was fitted to what a press printed. Errors of what is computed are
// refusals of one line; no train, form or setting takes unbounded time or memory,
// and whatever takes long ends with its context. The same input gives the same
// films on any number of cores.
package rollers
