package job

import (
	"context"
	"fmt"
	"path/filepath"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/coverage"
	"bladeline/zones/preset"
)

// stated is a form without a file as its preset states it; nil where a file does, which
// the preset names.
func (f *Form) stated() *preset.StatedForm {
	if f == nil || f.Name != "" {
		return nil
	}
	s := &preset.StatedForm{WidthMM: known(f.WidthMM), HeightMM: known(f.LengthMM)}
	for _, p := range f.Pieces {
		piece := preset.StatedPiece{
			XMM: p.XMM, YMM: p.YMM, Across: max(1, p.Across), Along: max(1, p.Along), GapXMM: p.StepXMM, GapYMM: p.StepYMM,
			DPIX: known(p.DPIX), DPIY: known(p.DPIY),
		}
		for _, source := range p.Sources {
			piece.Files = append(piece.Files, preset.StatedFile{File: source.Path, Inks: source.Inks})
		}
		s.Pieces = append(s.Pieces, piece)
	}
	return s
}

// known is nil where a number is 0, which is not known.
func known(v float64) *float64 {
	if v == 0 {
		return nil
	}
	return &v
}

func valueOf(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// formStated is a form as a preset states it, whose files are looked for from a folder.
func formStated(s *preset.StatedForm, folder string) *Form {
	f := &Form{WidthMM: valueOf(s.WidthMM), LengthMM: valueOf(s.HeightMM)}
	for i, stated := range s.Pieces {
		var p FormPiece
		p.Number, p.XMM, p.YMM, p.DPIX, p.DPIY = i+1, stated.XMM, stated.YMM, valueOf(stated.DPIX), valueOf(stated.DPIY)
		p.Across, p.Along, p.StepXMM, p.StepYMM, p.Gaps = stated.Across, stated.Along, stated.GapXMM, stated.GapYMM, true
		for _, file := range stated.Files {
			p.Sources = append(p.Sources, Source{Input: coverage.Input{Path: found(file.File, folder), Inks: file.Inks}})
		}
		f.Pieces = append(f.Pieces, p)
	}
	return f
}

// again is the separation of a unit whose preset states the form itself. Its pieces are
// read once, into read.
func (r Reading) again(ctx context.Context, p *preset.Preset, u *preset.Unit, path string, read map[string][]*coverage.Map) (*coverage.Map, error) {
	const all = "" // no file is called so
	if _, done := read[all]; !done {
		r.Form = formStated(p.Form, filepath.Dir(path))
		if r.Separating != nil && u.File != nil && u.Page != nil && ghostscript.IsJob(found(*u.File, filepath.Dir(path))) {
			one := *r.Separating
			one.Ranges = [][2]int{{*u.Page, *u.Page}}
			r.Separating = &one
		}
		maps, err := r.Maps(ctx)
		if err != nil {
			return nil, err
		}
		read[all] = maps
	}
	if m := mapOf(read[all], u.Ink); m != nil {
		return m, nil
	}
	return nil, fmt.Errorf("%s: no piece of the form has the ink %s; give the files that were preset", path, u.Ink)
}
