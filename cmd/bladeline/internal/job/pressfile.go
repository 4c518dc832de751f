package job

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// A NewPress says how the description of a press begins.
type NewPress struct {
	Name string
	From string // a file, or the name of one that ships
	Path string // to write, where nothing is yet

	// Nil leaves what From has.
	Zones       *int
	ZoneWidthMM *float64
	FirstZone   *press.End
}

// Write writes the press's file and, beside it, the curves that it names, but those
// that are there. It returns the paths of what was written. An error of what was
// asked is an AskedError.
func (n NewPress) Write() ([]string, error) {
	_, file, err := LoadPress(n.From)
	if err != nil {
		return nil, err
	}
	if file.Data, err = n.edited(file); err != nil {
		return nil, err
	}
	if err := isNew(n.Path); err != nil {
		return nil, err
	}
	press, err := press.Parse("the new press", file.Data)
	if err != nil {
		return nil, &AskedError{err}
	}
	files, err := curvesBeside(press, file, n.Path)
	if err != nil {
		return nil, err
	}
	files = append([]File{Bytes(n.Path, file.Data)}, files...)
	if err := WriteFiles(files); err != nil {
		return nil, err
	}
	var paths []string
	for _, f := range files {
		paths = append(paths, f.Path)
	}
	return paths, nil
}

// edited is the text of a press's file with what is asked.
func (n NewPress) edited(file Settings) ([]byte, error) {
	data, err := settings.SetValue(file.Name, file.Data, settings.TOMLString(n.Name), "name")
	set := func(key, value string) {
		if err == nil {
			data, err = settings.SetValue(file.Name, data, value, "fountain", key)
		}
	}
	if n.Zones != nil {
		set("zones", strconv.Itoa(*n.Zones))
	}
	if n.ZoneWidthMM != nil {
		set("zone_width_mm", settings.Decimal(*n.ZoneWidthMM))
	}
	if n.FirstZone != nil {
		set("first_zone", settings.TOMLString(string(*n.FirstZone)))
	}
	return data, err
}

// curvesBeside are the curves that a press names, each where a press's file at a
// path looks for it, but those that are there.
func curvesBeside(press *press.Press, file Settings, path string) ([]File, error) {
	var files []File
	names := append(slices.Collect(maps.Values(press.Curves)), press.DefaultCurve)
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		place := filepath.Join(filepath.Dir(path), name)
		if _, err := os.Lstat(place); err == nil || name == "" || filepath.IsAbs(name) {
			continue
		}
		curve, err := file.Beside(name)
		if err != nil {
			return nil, err
		}
		files = append(files, Bytes(place, curve.Data))
	}
	return files, nil
}
