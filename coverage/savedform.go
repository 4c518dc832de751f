package coverage

import (
	"errors"
	"fmt"
	"slices"

	"bladeline/coverage/internal/raster"
)

// savedForm is a form of several pieces, which are separations of the same file.
type savedForm struct {
	At       int          `json:"at"` // among what Open returns
	Ink      string       `json:"ink"`
	File     string       `json:"file"`
	Page     int          `json:"page"`
	Channel  int          `json:"channel"`
	WidthMM  float64      `json:"width_mm"`
	LengthMM float64      `json:"length_mm"`
	Pieces   []savedPiece `json:"pieces"`
	Doubts   []savedDoubt `json:"doubts,omitempty"`
}

// savedDoubt is a warning of a form, which measuring its pieces does not find again.
type savedDoubt struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

type savedPiece struct {
	Separation int     `json:"separation"` // counted from 0
	Number     int     `json:"number"`
	XMM        float64 `json:"x_mm"`
	YMM        float64 `json:"y_mm"`
	Turn       int     `json:"turn"`
	Mirrored   bool    `json:"mirrored"`
	Overprint  bool    `json:"overprint"`
	Across     int     `json:"across"`
	Along      int     `json:"along"`
	StepXMM    float64 `json:"step_x_mm"`
	StepYMM    float64 `json:"step_y_mm"`
}

// withoutForms takes forms of several pieces out of Maps, and puts their pieces' in
// behind the rest, each once.
func withoutForms(maps []*Map) (rasters []*Map, forms []savedForm, err error) {
	rasters = slices.DeleteFunc(slices.Clone(maps), func(m *Map) bool { return m.Sheet != nil })
	at := map[*Map]int{}
	for i, m := range maps {
		if m.Sheet == nil {
			continue
		}
		if err := m.Sheet.Check(); err != nil {
			return nil, nil, fmt.Errorf("separation %d of %d: %w", i+1, len(maps), err)
		}
		f := savedForm{At: i, Ink: m.Ink, File: m.File, Page: m.Page, Channel: m.Channel, WidthMM: m.Sheet.WidthMM, LengthMM: m.Sheet.LengthMM}
		for _, p := range m.Sheet.Pieces {
			if _, has := at[p.Map]; !has {
				at[p.Map] = len(rasters)
				rasters = append(rasters, p.Map)
			}
			f.Pieces = append(f.Pieces, savedPiece{at[p.Map], p.Number, p.XMM, p.YMM, p.Turn, p.Mirrored, p.Overprint, p.Across, p.Along, p.StepXMM, p.StepYMM})
		}
		for _, w := range m.Warnings {
			f.Doubts = append(f.Doubts, savedDoubt{w.Code, w.Text})
		}
		forms = append(forms, f)
	}
	return rasters, forms, nil
}

var errSavedForm = errors.New("its pieces are not among its separations")

// withForms undoes withoutForms.
func withForms(rasters []*Map, forms []savedForm) ([]*Map, error) {
	if len(forms) == 0 {
		return rasters, nil
	}
	piece := make([]bool, len(rasters))
	made := make([]*Map, len(forms))
	for i, f := range forms {
		s := &Sheet{WidthMM: f.WidthMM, LengthMM: f.LengthMM}
		for _, p := range f.Pieces {
			if p.Separation < 0 || p.Separation >= len(rasters) {
				return nil, errSavedForm
			}
			piece[p.Separation] = true
			s.Pieces = append(s.Pieces, Piece{p.Number, rasters[p.Separation], p.XMM, p.YMM, p.Turn, p.Mirrored, p.Overprint, p.Across, p.Along, p.StepXMM, p.StepYMM})
		}
		if err := s.Check(); err != nil {
			return nil, err
		}
		m := &Map{Ink: raster.Name(f.Ink), File: f.File[:min(len(f.File), maxPath)], Page: f.Page, Channel: f.Channel, Sheet: s}
		for _, w := range f.Doubts {
			m.Warnings = append(m.Warnings, Warning{Code: raster.Name(w.Code), Text: w.Text[:min(len(w.Text), maxPath)]})
		}
		made[i] = m
	}
	var all []*Map
	for i, m := range rasters {
		if !piece[i] {
			all = append(all, m)
		}
	}
	for i, f := range forms { // in the order of their places
		if f.At < 0 || f.At > len(all) || len(f.Pieces) == 0 {
			return nil, errSavedForm
		}
		all = slices.Insert(all, f.At, made[i])
	}
	return all, nil
}

// rastersOf are the Maps that have sums, each once: those given, and those of pieces.
func rastersOf(maps []*Map) (rasters []*Map) {
	seen := map[*Map]bool{}
	add := func(m *Map) {
		if !seen[m] {
			seen[m] = true
			rasters = append(rasters, m)
		}
	}
	for _, m := range maps {
		if m.Sheet == nil {
			add(m)
			continue
		}
		for _, p := range m.Sheet.Pieces {
			add(p.Map)
		}
	}
	return rasters
}
