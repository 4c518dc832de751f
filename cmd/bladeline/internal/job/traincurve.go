package job

import (
	"errors"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// NewTrainCurve writes the line of a press's train as a curve to a file that is not
// there yet, through a key that is known to be right where one is. An error of the name is
// an AskedError.
func NewTrainCurve(name, press string, through *curves.Point, path string) error {
	on, file, err := LoadPress(press)
	if err != nil {
		return err
	}
	c, err := preset.TrainCurve(name, on, through)
	if err != nil {
		if e, ok := errors.AsType[*settings.FileError](err); ok && e.Place == "through" {
			e.Place, file.Name = "", "--through"
		}
		return settings.InFile(err, file.Name, "")
	}
	data := c.TOML()
	if _, err := curves.ParseCurve("the new curve", data); err != nil {
		return &AskedError{err}
	}
	return writeNew(Bytes(path, data))
}
