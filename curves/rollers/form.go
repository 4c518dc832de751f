package rollers

// A Form is what a plate takes ink with: the coverage, from 0 to 1, of the cells
// of a grid over the image, from its gripper edge to its tail and over the whole
// width of the fountain. A model lays its own grid over it and shares cells in
// proportion to area, so that all of the ink stays.
type Form struct {
	Rows, Columns int
	Cover         []float64 // row by row from the gripper edge, in a row from the fountain's left end
}

// EvenForm is a form that is even along the sheet, with a coverage for each zone
// from the left.
func EvenForm(zones ...float64) Form {
	return Form{Rows: 1, Columns: len(zones), Cover: zones}
}
