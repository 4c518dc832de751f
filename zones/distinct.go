package zones

import (
	"fmt"
	"strings"

	"bladeline/coverage"
)

// Distinct refuses two separations of one ink: by a CompositeError where one is of
// a file that holds the inks of the form together, else by a SameInkError.
func Distinct(maps []*coverage.Map) error {
	for i, m := range maps {
		if m == nil {
			return errNothing
		}
		for _, earlier := range maps[:i] {
			if strings.EqualFold(m.Ink, earlier.Ink) {
				if err := composite(maps, m, earlier); err != nil {
					return err
				}
				return &SameInkError{m.Ink, place(m), place(earlier)}
			}
		}
	}
	return nil
}

// place is where a separation stands: files of one page need no more than
// their names.
func place(m *coverage.Map) string {
	if m.Page > 1 {
		return fmt.Sprintf("%s: page %d", m.File, m.Page)
	}
	return m.File
}
