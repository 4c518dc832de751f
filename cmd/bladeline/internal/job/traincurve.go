package job

import (
	"errors"
	"slices"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// NewTrainCurve writes the line of a press's train as a curve to a file that is not
// there yet, through a key that is known to be right where one is. Full is the coverage in
// % at which it reaches full opening, where that is below 100. An error of the name is an
// AskedError.
func NewTrainCurve(name, press string, through *curves.Point, path string) (full float64, err error) {
	on, file, err := LoadPress(press)
	if err != nil {
		return 100, err
	}
	c, err := preset.TrainCurve(name, on, through)
	if err != nil {
		if e, ok := errors.AsType[*settings.FileError](err); ok && e.Place == "through" {
			e.Place, file.Name = "", "--through"
		}
		return 100, settings.InFile(err, file.Name, "")
	}
	data := c.TOML()
	if _, err := curves.ParseCurve("the new curve", data); err != nil {
		return 100, &AskedError{err}
	}
	full = 100
	if at := slices.IndexFunc(c.Points, func(p curves.Point) bool { return p.OpeningPct == 100 }); at >= 0 {
		full = c.Points[at].CoveragePct
	}
	return full, writeNew(Bytes(path, data))
}
