package job

import (
	"cmp"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode"

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
// that are there. It returns the paths of what was written, and the name of the press
// from which the numbers of a fitted train were copied, which are a guess on this one;
// else "". An error of what was asked is an AskedError.
func (n NewPress) Write() (paths []string, guessedFrom string, err error) {
	base, file, err := LoadPress(n.From)
	if err != nil {
		return nil, "", err
	}
	if file.Data, err = n.edited(base, file); err != nil {
		return nil, "", err
	}
	file.Data = n.withoutOld(file.Data, base)
	if wasFitted(base) {
		guessedFrom = base.Name
		if file.Data, err = unfitted(file, base); err != nil {
			return nil, "", err
		}
	}
	if err := isNew(n.Path); err != nil {
		return nil, "", err
	}
	press, err := press.Parse("the new press", file.Data)
	if err != nil {
		return nil, "", &AskedError{err}
	}
	files, err := curvesBeside(press, file, n.Path)
	if err != nil {
		return nil, "", err
	}
	files = append([]File{Bytes(n.Path, file.Data)}, files...)
	if err := WriteFiles(files); err != nil {
		return nil, "", err
	}
	for _, f := range files {
		paths = append(paths, f.Path)
	}
	return paths, guessedFrom, nil
}

// wasFitted tells whether a press has a train that says what it was fitted from.
func wasFitted(on *press.Press) bool { return on.Train != nil && len(on.Train.Feed.FittedFrom) > 0 }

// unfitted is a press's file whose train no longer says that it was fitted, as it was to
// another machine: a film and a strip that were copied are a guess, and have no error.
func unfitted(file Settings, from *press.Press) ([]byte, error) {
	data, err := settings.SetValue(file.Name, file.Data, "[]", "train", "feed", "fitted_from")
	for key, was := range map[string]float64{"film_full_error_um": from.Train.Feed.FilmFullError, "strip_error_mm": from.Train.Feed.StripError} {
		if err == nil && was > 0 {
			data, err = settings.SetValue(file.Name, data, "0", "train", "feed", key)
		}
	}
	return data, err
}

// edited is the text of a press's file with what is asked. A press that has an id
// passes it on to none.
func (n NewPress) edited(base *press.Press, file Settings) ([]byte, error) {
	data, err := file.Data, error(nil)
	if base.ID != "" {
		data, err = settings.SetValue(file.Name, data, settings.TOMLString(idOf(n.Name)), "id")
	}
	if err == nil {
		data, err = settings.SetValue(file.Name, data, settings.TOMLString(n.Name), "name")
	}
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

// withoutOld is the file without what its comments say of the press that it was
// begun from: its head's first paragraph, and what is said with figures, or with
// the old value, of keys whose values are others now. The fountain's length, which
// is said of either, follows from its zones and their width.
func (n NewPress) withoutOld(data []byte, from *press.Press) []byte {
	data = settings.RemoveHead(data)
	drop := func(was string, path ...string) {
		data = settings.RemoveComments(data, func(comment string) bool { return speaksOf(comment, was) }, path...)
	}
	f := from.Fountain
	if n.Name != from.Name {
		drop(from.Name, "name")
	}
	if n.FirstZone != nil && *n.FirstZone != f.FirstZone {
		drop(string(f.FirstZone), "fountain", "first_zone")
	}
	if n.Zones != nil && *n.Zones != f.Zones || n.ZoneWidthMM != nil && *n.ZoneWidthMM != f.ZoneWidthMM {
		drop(strconv.Itoa(f.Zones), "fountain", "zones")
		drop(settings.Decimal(f.ZoneWidthMM), "fountain", "zone_width_mm")
	}
	return data
}

// numberedKey names a key, as "zone 1", and is no figure of the press's own.
var numberedKey = regexp.MustCompile(`(?i)\b(key|screw|zone) \d+`)

// speaksOf tells whether a comment speaks of a value: names it, or has figures.
func speaksOf(comment, value string) bool {
	return strings.Contains(comment, value) || strings.ContainsAny(numberedKey.ReplaceAllString(comment, ""), "0123456789")
}

// idOf is an id for a press of a name: its letters and digits, with a hyphen for
// what parts them.
func idOf(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return cmp.Or(strings.Join(words, "-"), "press")
}

// curvesBeside are the curves that a press names, each where a press's file at a
// path looks for it, but those that are there.
func curvesBeside(press *press.Press, file Settings, path string) ([]File, error) {
	var files []File
	for _, name := range press.CurveFileNames() {
		place := filepath.Join(filepath.Dir(path), name)
		if _, err := os.Lstat(place); err == nil || filepath.IsAbs(name) {
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
