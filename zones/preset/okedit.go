package preset

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// An OKEntry is what was run, as it is to be written into an OK file: of some keys
// of an ink, of its sweep, or of the rest of its keys.
type OKEntry struct {
	Ink   string // or as much of its name's beginning as tells it apart; "" is the only one
	Zones []int
	Sweep bool
	Rest  bool // keys that are not read ran as preset; Text is empty
	// Text is a setting, as ParseKey reads it; with a sign it is one beside the
	// preset's, so much wider or narrower. A dash says that it was not read.
	Text string
}

// An OKChange is what became of a key, or of the sweep, of an ink; nil: not read.
type OKChange struct {
	Ink     string
	Zone    int // 0 is the sweep
	Preset  float64
	Was, Is *float64
}

// An OKEdited is an OK file after entries were written into it.
type OKEdited struct {
	Data    []byte
	Preset  *Preset // as the file now reads
	Changes []OKChange
}

// EditOK writes entries into the CSV of a preset. All that people have in it stays,
// their columns and rows, the separator and the decimal comma. A text in UTF-16
// becomes UTF-8.
//
// A cell that is replaced need not be one that can be read; all others must.
//
// on, which may be nil, is the press of the preset, on whose scales what was run
// must stand. Errors are of type *settings.FileError.
func EditOK(file string, data []byte, entries []OKEntry, on *press.Press) (*OKEdited, error) {
	sheet, err := openOK(file, data, entries)
	if err != nil {
		return nil, err
	}
	if on != nil {
		if err := sheet.preset.mustBeOf(on, "name the press that it is for"); err != nil {
			return nil, settings.InFile(err, file, "")
		}
	}
	edit := okEdit{preset: sheet.preset, on: on}
	for _, e := range entries {
		if err := edit.enter(e); err != nil {
			return nil, settings.InFile(err, file, "")
		}
	}
	for _, row := range sheet.rows { // the word is kept, where a cell of it gets a number
		if row.rest[0] && touched(edit.changes, row.ink, row.zone) || row.rest[1] && touched(edit.changes, row.ink, 0) {
			edit.rest(sheet.preset.Unit(row.ink))
		}
	}
	edited := &OKEdited{Changes: edit.changes, Data: sheet.written(edit.changes)}
	edited.Preset, err = ReadCSV(file, bytes.NewReader(edited.Data))
	return edited, err
}

// ReadForOK reads the CSV of a preset that entries are to be written into: as ReadCSV
// does, but that cells which they replace need not be such as can be read, and that
// "rest as preset" fills in no keys.
func ReadForOK(file string, r io.Reader, entries []OKEntry) (*Preset, error) {
	data, err := readAll(file, r)
	if err != nil {
		return nil, err
	}
	text, err := openOK(file, data, entries)
	if err != nil {
		return nil, err
	}
	return text.preset, nil
}

// okEdit enters what was run into a preset.
type okEdit struct {
	preset  *Preset
	on      *press.Press
	changes []OKChange
}

func (e *okEdit) enter(entry OKEntry) error {
	if entry.Rest && entry.Ink == "" {
		for i := range e.preset.Units {
			e.rest(&e.preset.Units[i])
		}
		return nil
	}
	u, err := e.unit(entry.Ink)
	if err != nil {
		return err
	}
	if entry.Rest {
		e.rest(u)
		return nil
	}
	if entry.Sweep {
		return e.sweep(u, entry.Text)
	}
	for _, zone := range entry.Zones {
		if zone < 1 || zone > len(u.Keys) {
			return &settings.FileError{Place: fmt.Sprintf("zone %d", zone), What: fmt.Sprintf("the press has zones 1 to %d", len(u.Keys)), Do: "name one of these"}
		}
		k := &u.Keys[zone-1]
		key, err := settingOf(entry.Text, k.Key)
		if err == nil && key != nil {
			err = e.settableKey(*key)
		}
		if err != nil {
			return settings.InFile(err, "", fmt.Sprintf("ink %s, zone %d", settings.Quoted(u.Ink), zone))
		}
		e.key(u, k, key)
	}
	return nil
}

// rest enters keys that are not read as preset.
func (e *okEdit) rest(u *Unit) {
	for i := range u.Keys {
		if k := &u.Keys[i]; k.OKKey == nil {
			e.key(u, k, new(k.Key))
		}
	}
}

func (e *okEdit) key(u *Unit, k *Key, is *float64) {
	e.changes = append(e.changes, OKChange{Ink: u.Ink, Zone: k.Zone, Preset: k.Key, Was: k.OKKey, Is: is})
	k.OKKey = is
}

func (e *okEdit) sweep(u *Unit, text string) error {
	sweep, err := settingOf(text, u.Sweep)
	if err != nil {
		err = &settings.FileError{What: settings.Quoted(text) + " is not a sweep", Do: "write it like 45 or 5.5, or how far it is beside the preset's, like +1"}
	}
	if err == nil && sweep != nil {
		err = e.settableSweep(*sweep)
	}
	if err != nil {
		return settings.InFile(err, "", fmt.Sprintf("ink %s, sweep", settings.Quoted(u.Ink)))
	}
	e.changes = append(e.changes, OKChange{Ink: u.Ink, Preset: u.Sweep, Was: u.OKSweep, Is: sweep})
	u.OKSweep = sweep
	return nil
}

// unit finds an ink by the beginning of its name.
func (e *okEdit) unit(name string) (*Unit, error) {
	p := e.preset
	if name == "" && len(p.Units) > 1 {
		return nil, &settings.FileError{Place: "inks", What: fmt.Sprintf("there are several, %s", p.inks()), Do: fmt.Sprintf("name one before the first key, as %s:3=…", p.Units[0].Ink)}
	}
	if u := p.Unit(name); u != nil {
		return u, nil
	}
	var found []*Unit
	for i := range p.Units {
		if u := &p.Units[i]; begins(u.Ink, name) {
			found = append(found, u)
		}
	}
	if len(found) != 1 {
		return nil, &settings.FileError{Place: "ink " + settings.Quoted(name), What: "names none of " + p.inks() + ", or more than one", Do: "write as much of its name as tells it apart"}
	}
	return found[0], nil
}

// settingOf reads a setting; nil where it was not read. One with a sign is counted
// from the preset's.
func settingOf(text string, preset float64) (*float64, error) {
	text = strings.TrimSpace(text)
	if text != "" && unsaid(text) {
		return nil, nil
	}
	number := strings.TrimSpace(strings.TrimSuffix(text, "%"))
	if !strings.Contains(number, ".") {
		number = strings.Replace(number, ",", ".", 1)
	}
	v, err := press.ParseKey(number)
	if err != nil {
		what, do, _ := strings.Cut(err.Error(), "; ")
		return nil, &settings.FileError{What: what, Do: do}
	}
	if strings.ContainsAny(number[:1], "+-") {
		v = math.Round((preset+v)*1e9) / 1e9
	}
	return &v, nil
}

// settableKey refuses a key that cannot stand so, and names the nearest ones that
// can.
func (e *okEdit) settableKey(key float64) error {
	unit := e.preset.Press.KeyUnit
	travel, step := map[press.KeyUnit]float64{press.Percent: 100, press.Turn: manyTurns, press.Notch: maxKey}[unit], 0.0
	text := func(v float64) string { return press.KeyText(unit, v) }
	if e.on != nil {
		travel, step, text = e.on.Keys.Travel, e.on.Keys.Step, e.on.Keys.Text
	}
	return settable(key, 0, travel, step, text)
}

// settableSweep is settableKey of a sweep.
func (e *okEdit) settableSweep(sweep float64) error {
	switch {
	case e.on != nil:
		s := e.on.Sweep
		return settable(sweep, s.From, s.To, s.Step, settings.Plain)
	case sweep <= 0:
		return &settings.FileError{What: notSweep(sweep), Do: "write the sweep that was run"}
	}
	return nil
}

// settable refuses what does not stand on a scale; a step of 0 is not known.
func settable(v, from, to, step float64, text func(float64) string) error {
	if v < from-1e-9 || v > to+1e-9 {
		return &settings.FileError{What: fmt.Sprintf("%s is beyond the scale, %s to %s", text(v), text(from), text(to)), Do: "write what was read off the press"}
	}
	if step == 0 {
		return nil
	}
	steps := (v - from) / step
	if math.Abs(steps-math.Round(steps)) < 1e-6 {
		return nil
	}
	below := from + math.Floor(steps)*step
	return &settings.FileError{
		What: fmt.Sprintf("%s is no setting of the press: it stands between %s and %s", settings.Number(v), text(below), text(math.Min(to, below+step))), Do: "write the nearer one",
	}
}
