package preset

import (
	"fmt"
	"strings"

	"bladeline/curves"
	"bladeline/curves/ink"
	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// What a pull can say. Common practice, no source.
const (
	readableShare = 0.98 // of the density limit: nearer to it a film of any thickness measures alike
	leastDensity  = 0.1  // below that the film is a guess
)

// PullRun is what one pulled sheet says of the openings that an ink's zones wanted,
// as curves are learned from. The film follows the feed in proportion, and the
// densities say by the law of density how many times the target's film each zone
// carried, so that a zone wanted
//
//	the opening it was printed with × film at the target / film measured.
//
// The sheet was printed with ok_key and ok_sweep, where p has them, else with the
// preset's own keys and sweep. A density from 98 % of the limit on is a bound: the
// zone wanted so much or less. Left out are zones off the sheet, zones that were not
// measured or hardly carried ink, and keys that stood closed.
//
// target and limit are the ink's densities, as ink.CorrectOptions has them. file
// and densityFile stand in errors, which are of type *settings.FileError.
func (p *Preset) PullRun(file string, on *press.Press, name, densityFile string, densities []SolidDensity, target, limit float64) (*learn.Run, error) {
	if err := p.IsFor(on, file); err != nil {
		return nil, err
	}
	u := p.Unit(name)
	if u == nil {
		return nil, &settings.FileError{File: file, Place: "column ink", What: fmt.Sprintf("there is no %s, only %s", settings.Quoted(name), p.inks()), Do: "name one of these"}
	}
	if !(limit > 0 && target > 0 && target < readableShare*limit) {
		return nil, fmt.Errorf("a target density of %s is not between 0 and %s, 98 %% of the limit; correct the target or the limit", settings.Plain(target), settings.Number(readableShare*limit))
	}
	unit := u.NameOn(on)
	on = u.OnPress(on)
	if err := u.OnScales(on); err != nil {
		return nil, settings.InFile(err, file, "")
	}
	measured, err := p.measuredOf(u, densityFile, densities)
	if err != nil {
		return nil, err
	}
	run := &learn.Run{Name: file, Unit: unit, Sweep: u.SweepRun(), Pull: true}
	for _, k := range u.Keys {
		density, is := measured[k.Zone]
		opening := k.printedOpening(on.Keys)
		if reason := k.unpulled(density, is, opening); reason != "" {
			run.LeftOut = append(run.LeftOut, learn.LeftOut{Run: file, Zone: k.Zone, Reason: reason})
			continue
		}
		run.Readings = append(run.Readings, k.pulled(opening, density, target, limit))
	}
	return run, nil
}

// measuredOf are the densities of a unit, by zone. Those of other inks are passed
// over, as one table may hold all inks of a sheet.
func (p *Preset) measuredOf(u *Unit, file string, densities []SolidDensity) (map[int]float64, error) {
	measured := map[int]float64{}
	for _, d := range densities {
		if !strings.EqualFold(d.Ink, u.Ink) {
			continue
		}
		if what, column := p.unmeasurable(d); what != "" {
			return nil, &settings.FileError{File: file, Place: fmt.Sprintf("row %d, column %s", d.Row, column), What: what, Do: "correct it, or leave the row out"}
		}
		measured[d.Zone] = d.Density
	}
	if len(measured) == 0 {
		return nil, &settings.FileError{File: file, Place: "column ink", What: "there is no density of " + settings.Quoted(u.Ink), Do: "measure its solids"}
	}
	return measured, nil
}

// unpulled is why a zone of a pull says nothing of the curve; empty where it does.
func (k Key) unpulled(density float64, measured bool, openingPct float64) string {
	switch {
	case k.State == curves.OffSheet:
		return "lies off the sheet"
	case !measured:
		return "was not measured"
	case openingPct <= 0:
		return "was printed with its key closed"
	case density < leastDensity:
		return "hardly carried any ink"
	}
	return ""
}

// mostWantedPct is beyond what any key opens: what wants more is a bound.
const mostWantedPct = 200

// pulled is what a zone's density says of the opening that it wanted.
func (k Key) pulled(openingPct, density, target, limit float64) learn.Reading {
	r := learn.Reading{Zone: k.Zone, CoveragePct: k.CoveragePct}
	if readable := readableShare * limit; density >= readable {
		density, r.Censoring = readable, learn.LeftCensored
	}
	r.OpeningPct = openingPct * ink.FilmRatio(density, target, limit)
	if r.OpeningPct > mostWantedPct {
		r.OpeningPct, r.Censoring = mostWantedPct, learn.RightCensored
	}
	return r
}
