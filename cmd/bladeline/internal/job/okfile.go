package job

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// An OKTicket says what was run, and where it is to be written.
type OKTicket struct {
	File    string // a preset's CSV, or its JSON where Output is another file
	Output  string // "" is File
	Press   string // of the preset: a file, or the name of one that ships; "" is the one that ships under the preset's name, if any
	Entries []preset.OKEntry
}

// An OKFile is what was written.
type OKFile struct {
	*preset.OKEdited
	Path   string
	Called string // how the press is called, "" where none is known
	Press  *press.Press
}

// WriteOK writes what was run into an OK file. One that is there under another name
// than the one that is read is not overwritten.
func WriteOK(t OKTicket) (*OKFile, error) {
	data, p, err := t.read()
	if err != nil {
		return nil, err
	}
	out := &OKFile{Path: t.File, Called: t.Press}
	if t.Output != "" {
		out.Path = t.Output
	}
	if out.Press, err = t.press(p, &out.Called); err != nil {
		return nil, err
	}
	if out.OKEdited, err = preset.EditOK(t.File, data, t.Entries, out.Press); err != nil {
		return nil, err
	}
	write := WriteFiles
	if SameFile(out.Path, t.File) {
		write = func(files []File) error { return rewriteOK(files[0]) }
	}
	return out, write([]File{Bytes(out.Path, out.Data)})
}

// read is the CSV that is written into, and the preset that it is.
func (t OKTicket) read() ([]byte, *preset.Preset, error) {
	if FormatOf(t.File) != "csv" {
		p, err := LoadPreset(t.File)
		if err != nil {
			return nil, nil, err
		}
		if t.Output == "" {
			return nil, nil, fmt.Errorf("%s: a JSON has no place for what was run; name the CSV to write with -o", t.File)
		}
		var b bytes.Buffer
		err = p.WriteCSV(&b)
		return b.Bytes(), p, err
	}
	var data bytes.Buffer
	var p *preset.Preset
	err := ReadFile(t.File, func(r io.Reader) (err error) {
		p, err = preset.ReadForOK(t.File, io.TeeReader(r, &data), t.Entries)
		return err
	})
	return data.Bytes(), p, err
}

// press is the press that is named, else one that ships and is the preset's.
func (t OKTicket) press(p *preset.Preset, called *string) (*press.Press, error) {
	if t.Press != "" {
		on, _, err := LoadPress(t.Press)
		return on, err
	}
	on, name := shippedFor(p, t.File)
	*called = name
	return on, nil
}

// shippedFor is the press that ships and is the one of a preset, nil where none is.
func shippedFor(p *preset.Preset, path string) (*press.Press, string) {
	for _, name := range Shipped(PressKind) {
		if on, _, err := LoadPress(name); err == nil && p.IsFor(on, path) == nil {
			return on, name
		}
	}
	return nil, ""
}

// SameFile tells whether two names are of one file, or folder, that is there.
func SameFile(a, b string) bool {
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}
