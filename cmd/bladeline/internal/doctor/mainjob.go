package doctor

import (
	"bytes"
	"context"
	"fmt"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/coverage/bilevel"
	"bladeline/zones"
	"bladeline/zones/preset"
)

// A plate of known coverage, as wide as the fountain of the press that it is preset
// for, 21 zones of 31.75 mm: a wedge whose row y is inked from the left up to column
// 2y.
const (
	wedgeWidth  = 420 // px
	wedgeHeight = wedgeWidth / 2
	wedgeDPI    = 16
	wedgeInk    = wedgeHeight * (wedgeHeight - 1) // px: 2 x (0 + 1 + ... + 209)
)

// mainJob presets a plate of known coverage, and holds what comes out against what
// must.
func mainJob(ctx context.Context) Finding {
	f := Finding{Thing: "main job", Found: "a plate of known coverage is counted and preset right"}
	if err := presetWedge(ctx); err != nil {
		f.Found, f.Broken = "does not work: "+err.Error(), true
		f.Cost = "no preset of this machine is to be trusted; please report this, with what bladeline --version says"
	}
	return f
}

func presetWedge(ctx context.Context) error {
	m, err := measureWedge(ctx)
	if err != nil {
		return err
	}
	if ink := m.Total() / m.Full; ink != wedgeInk {
		return fmt.Errorf("%d pixels of %d are counted", ink, wedgeInk)
	}
	on, _, err := job.LoadPress("two-colour")
	if err != nil {
		return err
	}
	curve, err := job.LoadCurve("coated")
	if err != nil {
		return err
	}
	s := job.Setup{Job: "wedge", Press: on, TakeOffPct: preset.ByKeys}
	reference := on.Sweep.Reference
	if err := s.Add(m, zones.Placement{LeadEdge: zones.Bottom}, curve, &reference); err != nil {
		return err
	}
	p, err := s.Preset()
	if err != nil {
		return err
	}
	return falling(p.Units[0].Keys)
}

func measureWedge(ctx context.Context) (*coverage.Map, error) {
	var tiff bytes.Buffer
	err := bilevel.WriteTIFF(&tiff, &bilevel.Picture{Width: wedgeWidth, Height: wedgeHeight, DPI: wedgeDPI, Row: func(y int, ends []int32) []int32 {
		if y == 0 {
			return ends
		}
		return append(ends, 0, int32(2*y))
	}})
	if err != nil {
		return nil, err
	}
	file, err := coverage.OpenReader("wedge.tif", bytes.NewReader(tiff.Bytes()), int64(tiff.Len()))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	maps, err := file.Measure(ctx, coverage.Options{})
	if err != nil {
		return nil, err
	}
	return maps[0], nil
}

// falling wants keys that close from left to right, as the wedge does.
func falling(keys []preset.Key) error {
	for i, k := range keys[1:] {
		if k.OpeningPct > keys[i].OpeningPct {
			return fmt.Errorf("key %d opens wider than the one before it", k.Zone)
		}
	}
	if first, last := keys[0].OpeningPct, keys[len(keys)-1].OpeningPct; !(first > last) {
		return fmt.Errorf("all keys open alike, %g %%", first)
	}
	return nil
}
