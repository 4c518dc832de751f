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
// Every nip splits the film in half: films a and b come in, and both leave with
// (a+b)/2. So ink is conserved, and all that follows is linear. Speed does not
// occur in it. What is left out: water and emulsion, tack, temperature, slip,
// swollen rollers, and what the paper does with the ink. Results are trends until
// the train was fitted to what a press printed.
package rollers
