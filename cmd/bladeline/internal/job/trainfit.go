package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A TrainFitting says what a press's train is to be fitted from, and where it goes.
type TrainFitting struct {
	Press   string   // a file, or the name of one that ships
	OKFiles []string // and folders of them
	Curve   string   // in place of them: a learned one, its file
	Ink     string   // that alone is fitted from; "" is all
	Rest    bool     // keys that were not read ran as preset
	Path    string   // the press's file to write, where nothing is yet; "" is the press's own
}

// A FittedTrain is what was fitted.
type FittedTrain struct {
	rollers.Fitted
	Path  string   // that was written
	From  []string // names of files
	Curve bool     // of a curve

	Skipped []error // why files of a folder were passed over
}

// Fit fits the train and writes the press's file, of which all else stays. What the
// data do not hold is refused, and nothing written.
func (how TrainFitting) Fit(ctx context.Context) (*FittedTrain, error) {
	on, file, err := LoadPress(how.Press)
	if err != nil {
		return nil, err
	}
	switch {
	case how.Path == "" && file.Shipped:
		return nil, &ShippedError{how.Press, CodeShippedTrain}
	case how.Path != "":
		if err := isNew(how.Path); err != nil {
			return nil, err
		}
	}
	fit, err := preset.NewTrainFit(on)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file.Name, err)
	}
	result := &FittedTrain{Path: file.Name, Curve: how.Curve != ""}
	if how.Path != "" {
		result.Path = how.Path
	}
	if how.Curve != "" {
		err = result.fromCurve(how, fit, on)
	} else {
		err = result.fromRuns(ctx, how, fit)
	}
	if err != nil {
		return nil, unfit(err, file.Name)
	}
	return result, result.write(on, file, how.Path != "")
}

// ofInk says of which ink alone, where one is asked for.
func ofInk(ink string) string {
	if ink == "" {
		return ""
	}
	return " that says what was run of ink " + settings.Quoted(ink)
}

// unfit says of what the data do not hold what would.
func unfit(err error, file string) error {
	if u, is := errors.AsType[*rollers.Unfit](err); is {
		do := "give more OK files, of forms whose zones are covered by more different amounts"
		if u.Reason == rollers.Scatter {
			do = "learn the keys' zeros first, with curve learn --zeros, leave out sheets that were not even, and compare the file's rollers with the press's"
		}
		return &settings.FileError{File: file, What: "the train cannot be fitted: " + u.Error(), Do: do}
	}
	return err
}

// fromCurve fits to a learned curve.
func (f *FittedTrain) fromCurve(how TrainFitting, fit *preset.TrainFit, on *press.Press) error {
	file, err := Load(how.Curve, CurveKind)
	if err != nil {
		return err
	}
	c, err := file.CurveFor(on)
	if err != nil {
		return err
	}
	f.From = []string{filepath.Base(file.Name)}
	f.Fitted, err = fit.FitCurve(c, how.Ink)
	return err
}

// fromRuns fits to OK files. One of a folder that says nothing is passed over.
func (f *FittedTrain) fromRuns(ctx context.Context, how TrainFitting, fit *preset.TrainFit) error {
	for _, path := range how.OKFiles {
		files, folder, err := okFiles(path)
		if err != nil {
			return err
		}
		for _, file := range files {
			p, err := LoadRun(file, how.Rest)
			if err == nil {
				err = fit.Add(file, p, how.Ink)
			}
			switch {
			case err == nil:
				f.From = append(f.From, filepath.Base(file))
			case folder:
				f.Skipped = append(f.Skipped, err)
			default:
				return err
			}
		}
	}
	if slices.Sort(f.From); len(f.From) == 0 {
		return fmt.Errorf("%s: there is no OK file of this press%s; fill in ok_key in the CSV of a preset", how.OKFiles[0], ofInk(how.Ink))
	}
	var err error
	f.Fitted, err = fit.Fit(ctx)
	return err
}

// okFiles are a file, or the .csv files of a folder.
func okFiles(path string) (files []string, folder bool, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, false, unread(path, err)
	}
	if !info.IsDir() {
		return []string{path}, false, nil
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return nil, true, unread(path, err)
	}
	for _, e := range entries {
		if FormatOf(e.Name()) == "csv" && !e.IsDir() {
			files = append(files, filepath.Join(path, e.Name()))
		}
	}
	return files, true, nil
}

// write writes the press's file with the train fitted; a new one gets its curves beside
// it.
func (f *FittedTrain) write(on *press.Press, file Settings, anew bool) error {
	data := file.Data
	var quoted []string
	for _, from := range f.From {
		quoted = append(quoted, settings.TOMLString(settings.Printable(from)))
	}
	for _, v := range []struct{ key, value string }{
		{"fitted_from", "[" + strings.Join(quoted, ", ") + "]"},
		{"strip_error_mm", figure(f.StripError, f.StripError)},
		{"film_full_error_um", figure(f.FilmFullError, f.FilmFullError)},
		{"strip_mm", figure(f.StripMM, f.StripError)},
		{"film_full_um", figure(f.FilmFullUM, f.FilmFullError)},
	} {
		var err error
		if data, err = settings.SetValue(file.Name, data, v.value, "train", "feed", v.key); err != nil {
			return err
		}
	}
	if _, err := press.Parse(f.Path, data); err != nil {
		return err
	}
	files := []File{Bytes(f.Path, data)}
	if anew {
		beside, err := curvesBeside(on, file, f.Path)
		if err != nil {
			return err
		}
		files = append(files, beside...)
	}
	return WriteFiles(files)
}

// figure writes a value as finely as its error has two figures.
func figure(v, byError float64) string {
	places := 3
	if byError > 0 {
		places = min(6, max(0, 1-int(math.Floor(math.Log10(byError)))))
	}
	text := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
