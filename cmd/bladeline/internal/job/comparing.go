package job

import (
	"fmt"

	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// Comparing says what is to be compared.
type Comparing struct {
	Files []string // two presets or OK files, or one OK file, whose run is compared with its preset
	Rest  bool     // keys that were not read ran as preset
	Press *string  // of all of them: a file, or the name of one that ships; nil is not known
}

// Compare reads the files and compares the second with the first.
func (how Comparing) Compare() (*preset.Comparison, error) {
	var on *press.Press
	if how.Press != nil {
		var err error
		if on, _, err = LoadPress(*how.Press); err != nil {
			return nil, err
		}
	}
	var sides []preset.Compared
	for _, file := range how.Files {
		p, err := LoadRun(file, how.Rest)
		if err != nil {
			return nil, err
		}
		sides = append(sides, preset.Compared{File: file, Preset: p})
	}
	last := sides[len(sides)-1]
	if len(sides) == 1 && !last.Preset.WasRun() {
		return nil, fmt.Errorf("%s: does not say what was run, to compare with its preset; fill in ok_key, or name two presets", last.File)
	}
	if len(sides) == 1 {
		sides[0].Preset = last.Preset.AsPreset()
	}
	return preset.Compare(sides[0], last, on)
}
