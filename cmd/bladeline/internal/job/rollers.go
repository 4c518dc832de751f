package job

import (
	"io"

	"bladeline/zones/preset"
	"bladeline/zones/preset/rollerchart"
	"bladeline/zones/sheet"
)

// RollerChart is the chart of a press's roller train, held against what was measured
// where a file of that is named; measured may be empty.
func RollerChart(called, measured string) (*rollerchart.Chart, error) {
	on, file, err := LoadPress(called)
	if err != nil {
		return nil, err
	}
	c, err := rollerchart.Of(on, file.Name)
	if err != nil || measured == "" {
		return c, err
	}
	var rows []preset.MeasuredRoller
	if err := ReadFile(measured, func(r io.Reader) (err error) {
		rows, err = preset.ReadRollers(measured, r)
		return err
	}); err != nil {
		return nil, err
	}
	return c, c.Hold(measured, rows)
}

// RollerFiles are the files of a chart that is drawn: one PDF, or an SVG a page.
func RollerFiles(path string, c *rollerchart.Chart, o sheet.RollerOptions) ([]File, error) {
	pages, names, err := sheet.RollerPages(c, o)
	if err != nil {
		return nil, err
	}
	return PageFiles(path, names, pages), nil
}

// KeepsWorksheet refuses to write a worksheet where there is a file: figures may
// have been filled in.
func KeepsWorksheet(path string) error {
	if IsStream(path) {
		return nil
	}
	return isNew(path)
}
