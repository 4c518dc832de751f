package job

import (
	"errors"
	"fmt"

	"bladeline/coverage"
)

// uncropped says of a page that cannot be cropped which form's piece asks for it.
// What was separated first goes by another name, and is known by its crop alone.
func uncropped(err error, forms []*Form) error {
	e, is := errors.AsType[*coverage.CropError](err)
	if !is {
		return err
	}
	said := err
	for _, f := range forms {
		if f == nil {
			continue
		}
		for _, p := range f.Pieces {
			for _, s := range p.Sources {
				if s.Crop == nil || *s.Crop != e.Crop {
					continue
				}
				said = f.refused(fmt.Sprintf("piece %d: crop", p.Number), fmt.Sprintf("%s, page %d: %s", s.Path, e.Page, e.What), e.Do)
				if s.Path == e.File {
					return said
				}
			}
		}
	}
	return said
}
