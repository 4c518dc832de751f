// Package zones lays a separation on the ink fountain of a press.
//
// What goes in is a coverage.Map, a press and a Placement; what comes out of Lay is
// a Form. It alone knows the Maps of its pieces; it tells in mm where it lies, how
// much ink stands between any two places across, how much of every zone is covered,
// and how the demand runs along the sheet. Lengths are in mm, coverages in % of area; x is measured from
// the fountain's left end in bench view: the printed sheet face up, lead edge
// nearest you. Errors are one line, and name the separation that they are of.
package zones
