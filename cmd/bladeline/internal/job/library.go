package job

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/examples"
	"bladeline/zones/press"
)

// A Kind is what a file of settings describes.
type Kind string

const (
	PressKind Kind = "press"
	CurveKind Kind = "curve"
)

// ending is that of such a file's name.
func (k Kind) ending() string { return "." + string(k) + ".toml" }

// Settings are a press or curve file, from the disk or from inside the program.
type Settings struct {
	Name    string // as it is named in errors
	Data    []byte
	Shipped bool // inside the program

	// Given, where set, are the files beside it, by their names: it was brought, and
	// lies in no folder.
	Given map[string][]byte
}

// An UnnamedError refuses an empty name of a file of settings.
type UnnamedError struct{ Kind Kind }

func (e *UnnamedError) Error() string {
	return fmt.Sprintf("the name of a %s is empty; name a file, or one of these: %s", e.Kind, strings.Join(Shipped(e.Kind), ", "))
}

// Load finds a file by what a user calls it: a path, or the bare name of one
// that ships inside the program. An error of a file that is not there is an
// fs.ErrNotExist.
func Load(called string, kind Kind) (Settings, error) {
	if called == "" {
		return Settings{}, &UnnamedError{kind}
	}
	if data, err := readSettings(called); err == nil {
		return Settings{Name: called, Data: data}, nil
	} else if strings.ContainsAny(called, `/\.`) {
		return Settings{}, unread(called, err)
	}
	data, err := examples.Files.ReadFile(called + kind.ending())
	if err != nil {
		return Settings{}, &inputError{fmt.Sprintf("%s: not a %s; name a file, or one of these: %s", called, kind, strings.Join(Shipped(kind), ", ")), err}
	}
	return Settings{Name: called, Data: data, Shipped: true}, nil
}

// Beside loads a curve that a press's file names, relative to that.
func (s Settings) Beside(name string) (Settings, error) {
	if s.Given != nil {
		return s.given(name)
	}
	if s.Shipped {
		data, err := examples.Files.ReadFile(path.Clean(name))
		return Settings{Name: strings.TrimSuffix(name, CurveKind.ending()), Data: data, Shipped: true}, err
	}
	if !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(s.Name), name)
	}
	data, err := readSettings(name)
	if err != nil {
		return Settings{}, fmt.Errorf("%s names a curve: %w", s.Name, unread(name, err))
	}
	return Settings{Name: name, Data: data}, nil
}

// given is a curve that was brought with the file, or that ships.
func (s Settings) given(name string) (Settings, error) {
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	if data, is := s.Given[name]; is {
		return Settings{Name: name, Data: data}, nil
	}
	data, err := examples.Files.ReadFile(name)
	if err != nil {
		return Settings{}, &settings.FileError{File: s.Name, What: "it names the curve " + settings.Quoted(name) + ", which was not brought with it", Do: "bring both together"}
	}
	return Settings{Name: strings.TrimSuffix(name, CurveKind.ending()), Data: data, Shipped: true}, nil
}

// maxSettings is more than a file of settings is taken for, and bounds what a
// plate that is named as one by mistake costs.
const maxSettings = 2 << 20

// ReadSettings reads a file of settings that a front end has beside presses and
// curves.
func ReadSettings(name string) ([]byte, error) {
	data, err := readSettings(name)
	if err != nil {
		return nil, unread(name, err)
	}
	return data, nil
}

func readSettings(name string) ([]byte, error) {
	file, err := openPatiently(name, os.O_RDONLY)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, maxSettings))
}

// An inputError is the line that a file's error is told in.
type inputError struct {
	line  string
	cause error
}

func (e *inputError) Error() string { return e.line }
func (e *inputError) Unwrap() error { return e.cause }

// unread is the line that tells why a file was not read.
func unread(name string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &inputError{name + ": there is no such file; check the name and the folder", err}
	}
	if errors.Is(err, errFolder) {
		return fmt.Errorf("%s: %w; name a file in it", name, err)
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		err = errNobody()
	}
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		err = p.Err
	}
	return fmt.Errorf("%s: cannot be read: %w; name the file itself, one that you may read", name, err)
}

// Shipped lists the bare names of the files inside the program, in their order.
func Shipped(kind Kind) []string {
	files, err := fs.Glob(examples.Files, "*"+kind.ending())
	if err != nil {
		panic(err) // the pattern is ours
	}
	for i, f := range files {
		files[i] = strings.TrimSuffix(f, kind.ending())
	}
	return files
}

// LoadPress finds and reads a press, as Load does.
func LoadPress(called string) (*press.Press, Settings, error) {
	file, err := Load(called, PressKind)
	if err != nil {
		return nil, file, err
	}
	on, err := press.Parse(file.Name, file.Data)
	if err != nil && isCurve(file) {
		err = fmt.Errorf("%s: is a curve and no press; name a press file, and the curve with --curve", file.Name)
	}
	return on, file, err
}

func isCurve(s Settings) bool {
	_, err := curves.ParseCurve(s.Name, s.Data)
	return err == nil
}

// parseCurve reads a curve, and says of a press's file that it is none.
func parseCurve(s Settings) (*curves.Curve, error) {
	c, err := curves.ParseCurve(s.Name, s.Data)
	if err != nil {
		if _, notPress := press.Parse(s.Name, s.Data); notPress == nil {
			err = fmt.Errorf("%s: is a press and no curve; name a curve file, and the press with --press", s.Name)
		}
	}
	return c, err
}

// LoadCurve finds and reads a curve, as Load does.
func LoadCurve(called string) (*curves.Curve, error) {
	file, err := Load(called, CurveKind)
	if err != nil {
		return nil, err
	}
	return parseCurve(file)
}

// CurveOf finds an ink's curve, which the press must be able to use: the one
// that is called for, else the one that the press's file names, for the paper
// where it does. The paper may be empty.
func CurveOf(ink, called, paper string, press *press.Press, file Settings) (*curves.Curve, error) {
	curve, err := CurveFile(ink, called, paper, press, file)
	if err != nil {
		return nil, err
	}
	return curve.CurveFor(press)
}

// CurveFile is the file of the curve that CurveOf finds.
func CurveFile(ink, called, paper string, press *press.Press, file Settings) (Settings, error) {
	if called != "" {
		return Load(called, CurveKind)
	}
	name, _ := press.CurveFileOn(paper, ink)
	if name == "" {
		return Settings{}, &UnstatedError{File: file.Name, Ink: ink, code: CodeNoCurve}
	}
	return file.Beside(name)
}

// CurveFor is the file's curve, which the press must be able to use.
func (s Settings) CurveFor(press *press.Press) (*curves.Curve, error) {
	c, err := parseCurve(s)
	if err != nil {
		return nil, err
	}
	return c, settings.InFile(press.Sweep.Takes(c), s.Name, "")
}

// UnusableCurves says why curves that a press's file names cannot be used.
func UnusableCurves(p *press.Press, file Settings) (errs []error) {
	for _, name := range p.CurveFileNames() {
		curve, err := file.Beside(name)
		if err == nil {
			_, err = curve.CurveFor(p)
		}
		if err != nil {
			errs = append(errs, err)
		}
	}
	return errs
}
