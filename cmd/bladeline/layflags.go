package main

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"

	"github.com/spf13/cobra"
)

// layFlags are short cuts for a form of several pieces without a form file.
type layFlags struct {
	at, repeat []string
	sheet      string
}

func (f *layFlags) add(c *cobra.Command) {
	flags := c.Flags()
	flags.StringArrayVar(&f.at, "at", nil, "`[NAME=]X[,Y]`: lay the files that NAME matches as one piece, their left corner nearest the gripper edge (lead edge) X mm from the sheet's left edge and Y mm (0) from its gripper edge; without NAME one for all files, or one for each in their order; may be repeated")
	flags.StringArrayVar(&f.repeat, "repeat", nil, "`[NAME=]AxB[+GAP]`: A copies side by side and B behind each other, GAP mm apart; may be repeated")
	flags.StringVar(&f.sheet, "sheet", "", "size of the sheet that --at and --repeat lay on, `WxL` in mm; the default is what the pieces take, with equal margins")
}

// used tells whether pieces are laid by flags.
func (f *layFlags) used() bool { return len(f.at)+len(f.repeat) > 0 || f.sheet != "" }

// form is what the flags make of separations, of a resolution unless that is 0.
func (f *layFlags) form(inputs []coverage.Input, dpiX, dpiY float64) (*job.Form, error) {
	form := &job.Form{}
	var err error
	if f.sheet != "" {
		if len(f.at)+len(f.repeat) == 0 {
			return nil, usagef("--sheet %s: says nothing without --at or --repeat; add one", f.sheet)
		}
		if form.WidthMM, form.LengthMM, err = sizeOf("--sheet", f.sheet); err != nil {
			return nil, err
		}
	}
	if form.Pieces, err = f.pieces(inputs); err != nil {
		return nil, err
	}
	for i := range form.Pieces {
		p := &form.Pieces[i]
		p.Number, p.DPIX, p.DPIY = i+1, dpiX, dpiY
	}
	return form, f.repeats(form)
}

// pieces are those that --at makes of the inputs: all are one without it.
func (f *layFlags) pieces(inputs []coverage.Input) ([]job.FormPiece, error) {
	at := f.at
	if len(at) == 0 {
		at = []string{"0"}
	}
	var pieces []job.FormPiece
	left := slices.Clone(inputs)
	for i, text := range at {
		name, place, named := cutName(text)
		p, err := placed(text, place)
		if err != nil {
			return nil, err
		}
		var mine []coverage.Input
		switch {
		case named:
			mine = slices.DeleteFunc(slices.Clone(left), func(in coverage.Input) bool { return !isNamed(in.Path, name) })
		case len(at) == 1:
			mine = slices.Clone(left)
		case len(at) != len(inputs):
			return nil, usagef("--at %s: names no file, and there are %d files for %d of it; give one for each file in their order, or NAME=X,Y", text, len(inputs), len(at))
		default:
			mine = inputs[i : i+1]
		}
		if len(mine) == 0 {
			return nil, usagef("--at %s: no file that is left is called %s; name one of the files, or a pattern as page1_*", text, name)
		}
		for _, in := range mine {
			p.Sources = append(p.Sources, job.Source{Input: in})
			left = slices.DeleteFunc(left, func(l coverage.Input) bool { return l.Path == in.Path && slices.Equal(l.Inks, in.Inks) })
		}
		pieces = append(pieces, p)
	}
	if len(left) > 0 {
		return nil, usagef("%s: no --at says where it stands; add one", left[0].Path)
	}
	return pieces, nil
}

// repeats repeats the pieces that --repeat is for.
func (f *layFlags) repeats(form *job.Form) error {
	for _, text := range f.repeat {
		name, times, named := cutName(text)
		r, err := repeated(text, times)
		if err != nil {
			return err
		}
		found := false
		for i := range form.Pieces {
			p := &form.Pieces[i]
			if named && !slices.ContainsFunc(p.Sources, func(s job.Source) bool { return isNamed(s.Path, name) }) {
				continue
			}
			found = true
			p.Across, p.Along, p.StepXMM, p.StepYMM, p.Gaps = r.Across, r.Along, r.StepXMM, r.StepYMM, true
		}
		if !found {
			return usagef("--repeat %s: no file is called %s; name one of the files, or a pattern as card_*", text, name)
		}
	}
	return nil
}

// cutName takes NAME=VALUE apart. The value has no equals sign, a name may.
func cutName(text string) (name, value string, named bool) {
	at := strings.LastIndexByte(text, '=')
	if at < 0 {
		return "", text, false
	}
	return text[:at], text[at+1:], true
}

// isNamed tells whether a file is called so, or matches it as a pattern.
func isNamed(path, name string) bool {
	for _, of := range []string{path, filepath.Base(path)} {
		if matched, err := filepath.Match(name, of); of == name || matched && err == nil {
			return true
		}
	}
	return false
}

func placed(text, place string) (p job.FormPiece, err error) {
	x, y, both := strings.Cut(place, ",")
	if !both {
		y = "0"
	}
	if p.XMM, err = millimetres(x, -coverage.MaxSheetMM); err == nil {
		p.YMM, err = millimetres(y, -coverage.MaxSheetMM)
	}
	if err != nil {
		return p, usagef("--at %s: not a place on a sheet; give mm from its left edge and from its gripper edge (lead edge), as 12.5,10", text)
	}
	return p, nil
}

func repeated(text, times string) (p coverage.Piece, err error) {
	counts, gap, spaced := strings.Cut(times, "+")
	if spaced {
		p.StepXMM, err = millimetres(gap, 0)
		p.StepYMM = p.StepXMM
	}
	across, along, both := strings.Cut(counts, "x")
	if err == nil {
		p.Across, err = strconv.Atoi(across)
	}
	if err == nil {
		p.Along, err = strconv.Atoi(along)
	}
	if err != nil || !both || p.Across < 1 || p.Along < 1 || p.Copies() > coverage.MaxPieces {
		return p, usagef("--repeat %s: not a number of copies, up to %d; give them across and along, as 5x2, and the gap between them in mm, as 5x2+3", text, coverage.MaxPieces)
	}
	return p, nil
}

// sizeOf reads a size as WxL in mm.
func sizeOf(flag, text string) (width, length float64, err error) {
	w, l, both := strings.Cut(text, "x")
	if width, err = millimetres(w, 1); err == nil {
		length, err = millimetres(l, 1)
	}
	if err != nil || !both {
		return 0, 0, usagef("%s %s: not the size of a sheet; give its width and its length from the gripper edge in mm, as 660x480", flag, text)
	}
	return width, length, nil
}

// millimetres are from the least to more than any sheet has.
func millimetres(text string, least float64) (float64, error) {
	v, err := strconv.ParseFloat(settings.Pointed(strings.TrimSpace(text)), 64)
	if err == nil && (math.IsNaN(v) || v < least || v > coverage.MaxSheetMM) {
		err = strconv.ErrRange
	}
	return v, err
}

// allPaths are the files that the arguments name, and those that form files among
// them name. What is wrong with these is told when they are read.
func allPaths(args []string) []string {
	all := paths(args)
	for _, path := range slices.Clone(all) {
		if !zones.IsForm(path) {
			continue
		}
		if more, err := (job.Reading{Inputs: []coverage.Input{{Path: path}}}).Paths(); err == nil {
			all = append(all, more...)
		}
	}
	return all
}
