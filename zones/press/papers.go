package press

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"bladeline/curves/settings"
)

// CurveFiles are the files of curves for one paper, relative to the press's file.
type CurveFiles struct {
	Default string            // of inks that have none of their own; may be empty
	Own     map[string]string // by ink
}

// Papers are the names of the papers that have curves of their own, sorted.
func (p *Press) Papers() []string { return slices.Sorted(maps.Keys(p.ByPaper)) }

// CurveFileNames are all files of curves that the press's file names, sorted, each once.
func (p *Press) CurveFileNames() []string {
	names := append(slices.Collect(maps.Values(p.Curves)), p.DefaultCurve)
	for _, on := range p.ByPaper {
		names = slices.AppendSeq(append(names, on.Default), maps.Values(on.Own))
	}
	slices.Sort(names)
	return slices.DeleteFunc(slices.Compact(names), func(name string) bool { return name == "" })
}

// CurveFileOn is the file of the curve for an ink on a paper: the paper's for the
// ink, else the paper's for all inks, else, and known is then false, the press's
// as CurveFile says. Without a paper that is meant: known is then true.
func (p *Press) CurveFileOn(paper, ink string) (file string, known bool) {
	if paper == "" {
		return p.CurveFile(ink), true
	}
	on, _ := lookup(p.ByPaper, paper)
	if file, own := lookup(on.Own, ink); own {
		return file, true
	}
	if on.Default != "" {
		return on.Default, true
	}
	return p.CurveFile(ink), false
}

// curveFiles are the press's curves: of the inks, what stands for all others, and
// those by paper, a table each.
func (r *rules) curveFiles(raw map[string]any) (common CurveFiles, byPaper map[string]CurveFiles) {
	inks := map[string]any{}
	r.distinct("curves", slices.Sorted(maps.Keys(raw)))
	for _, name := range slices.Sorted(maps.Keys(raw)) {
		table, isPaper := raw[name].(map[string]any)
		if !isPaper {
			inks[name] = raw[name]
			continue
		}
		place := "curves." + name
		if strings.EqualFold(name, "default") {
			r.fail(place, "is the curve of all inks that have none of their own, and no paper", "write a file, or name the table by its paper")
		}
		r.line(place, name)
		if byPaper == nil {
			byPaper = map[string]CurveFiles{}
		}
		r.distinct(place, slices.Sorted(maps.Keys(table)))
		byPaper[name] = r.curvesOfInks(place, table)
	}
	return r.curvesOfInks("curves", inks), byPaper
}

// curvesOfInks parts what stands for all other inks from the inks' own.
func (r *rules) curvesOfInks(table string, raw map[string]any) CurveFiles {
	files := CurveFiles{Own: map[string]string{}}
	for _, ink := range slices.Sorted(maps.Keys(raw)) {
		place := table + "." + ink
		name, isText := raw[ink].(string)
		if !isText {
			r.fail(place, fmt.Sprintf("%v is no file", raw[ink]), "write the curve's file in quotes")
		}
		file := r.line(place, name)
		if strings.EqualFold(ink, "default") {
			files.Default = file
		} else {
			files.Own[ink] = file
		}
	}
	return files
}

// raw are the files as a table states them.
func (c CurveFiles) raw() map[string]any {
	raw := map[string]any{}
	for ink, file := range c.Own {
		raw[ink] = file
	}
	if c.Default != "" {
		raw["default"] = c.Default
	}
	return raw
}

// textsFirst refuses, with its line and column, the first plain value under
// [curves] that is no text: raw values come without a place.
func textsFirst(file string, data []byte, raw map[string]any) error {
	for _, v := range raw {
		switch v.(type) {
		case string, map[string]any:
		default:
			var asTexts struct {
				Curves map[string]string `toml:"curves"`
			}
			return settings.Decode(file, data, &asTexts)
		}
	}
	return nil
}
