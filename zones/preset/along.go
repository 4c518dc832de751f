package preset

import (
	"fmt"

	"bladeline/zones"
	"bladeline/zones/press"
)

// Along is what one zone takes along the print direction, with what the preset's
// warnings say of it.
type Along struct {
	LengthMM float64     // from the lead edge, that the bands divide
	BandsPct []float64   // coverage of bands of equal length, from the lead edge
	Uneven   *zones.Band // the tenth of the length that the zone is warned of; nil where it is not
	Bar      *zones.Band // the take-off bar that is advised, solid, where nothing prints; nil where none is
}

// AlongZone looks along one zone of a unit that was preset from in, as the warnings
// of New with the same takeOffPct do.
func AlongZone(on *press.Press, in UnitInput, u *Unit, zone, bands int, takeOffPct float64) (*Along, error) {
	if u == nil || zone < 1 || zone > len(u.Keys) {
		return nil, fmt.Errorf("there is no zone %d; name one of the fountain's", zone)
	}
	if err := checkInput(on, []UnitInput{in}, takeOffPct); err != nil {
		return nil, err
	}
	laid, err := in.laid()
	if err != nil {
		return nil, err
	}
	f := inspected{in: &laid, unit: u, press: u.OnPress(on), form: in.Form}
	k := u.Keys[zone-1]
	a := &Along{LengthMM: in.Form.AlongMM(), BandsPct: in.Form.Along(*k.LeftMM, *k.RightMM, bands)}
	if k.CoveragePct < printsPct {
		return a, nil
	}
	if b, uneven := f.unevenIn(k); uneven {
		a.Uneven = &b
	}
	if f.barWantedMM(k, takeOffPct) > hairPct {
		a.Bar = f.bar(k, takeOffPct)
	}
	return a, nil
}

// bar is the bar that is advised in a zone: at the tail end of what is free there,
// nil where there is no room.
func (f *inspected) bar(k Key, takeOffPct float64) *zones.Band {
	mm, _ := f.barMM(k, takeOffPct)
	if mm < 1 {
		return nil
	}
	end := f.form.Free(*k.LeftMM, *k.RightMM).ToMM
	return &zones.Band{FromMM: end - mm, ToMM: end, CoveragePct: 100}
}
