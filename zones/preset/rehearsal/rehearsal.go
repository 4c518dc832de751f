package rehearsal

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rollerchart"
	"bladeline/zones/press"
)

// Format names the form of a rehearsal's JSON.
const Format = "bladeline.rehearsal/1"

// Trend is what is said of all results of a train that was not fitted.
const Trend = "trend, not measured on this press"

// Shares of a zone's film that the trade looks at: within the first a makeready sheet
// is near enough to judge, within the second it is good; about 0.07 and 0.03 of
// density. Common practice, no source.
const (
	NearPct = 10
	GoodPct = 5
)

// Input is what is rehearsed.
type Input struct {
	Preset  *preset.Preset
	File    string // of the preset, for errors
	On      *press.Press
	OnFile  string                 // the press's, for errors
	Forms   map[string]*zones.Form // by ink; where one is missing, the coverages of zones alone are known
	Start   Start
	Tries   []Try
	Unknown map[string]string // by ink, why there is no form

	// Curves, by ink, that the preset was made by; where one is missing, NoCurve may say
	// why. Films of a train that was not fitted are held against what they ask for.
	Curves  map[string]*curves.Curve
	NoCurve map[string]string

	// FineMap has the film over the sheet worked out in cells of about 2 mm both ways, as
	// it is drawn; else it has the cells that zones are worked out on, 3 mm long and four
	// to a zone. It takes about twice as long as a steady state.
	FineMap bool

	Progress func(done float64) // told from 0 to 1 as inks are done, by one goroutine at a time; may be nil
}

// A Rehearsal is what a preset is going to print, ink by ink. Films are in µm on the
// printed image. What is nil is not known.
type Rehearsal struct {
	Format    string  `json:"format"`
	Job       string  `json:"job"`
	Press     string  `json:"press"`
	WasRun    bool    `json:"was_run"` // keys and sweep are those that were finally run
	Start     string  `json:"start"`   // what the rollers carry before the first sheet
	Trend     *string `json:"trend"`   // what is not measured; nil: the train was fitted to this press
	SweepUnit string  `json:"sweep_unit"`
	Inks      []Ink   `json:"inks"`

	Chart *rollerchart.Chart `json:"-"` // of the train, for its side view
}

// An Ink is one ink's rehearsal.
type Ink struct {
	Ink       string   `json:"ink"`
	Unit      *string  `json:"unit"`
	Sentences []string `json:"sentences"` // what there is to see and to do, worst first
	Sweep     float64  `json:"sweep"`
	Layout    bool     `json:"layout"`    // whether it is known how the image lies; else the coverages of zones alone
	TargetUM  float64  `json:"target_um"` // that films are held against
	Level     string   `json:"level"`     // Measured, ByCurve or Assumed
	MeanUM    float64  `json:"mean_um"`   // weighted by ink
	// Densities of the target and of 10 % less and more film; nil: the press does not
	// know the ink's law.
	TargetDensity *float64   `json:"target_density"`
	LeanDensity   *float64   `json:"lean_density"`
	FatDensity    *float64   `json:"fat_density"`
	RMSPct        float64    `json:"rms_pct"` // deviation of the zones that print
	WorstPct      float64    `json:"worst_pct"`
	FallOffPct    *float64   `json:"fall_off_pct"` // from lead to tail, of the zone where it is largest; nil without layout
	SwingPct      float64    `json:"swing_pct"`    // from sheet to sheet, likewise
	Zones         []Zone     `json:"zones"`        // by number
	StartUp       StartUp    `json:"start_up"`
	Charge        *Charge    `json:"charge"` // nil: none brings the rollers near
	Idle          []Idle     `json:"idle"`
	Ghosts        []Ghost    `json:"ghosts"`       // largest first
	GhostsSeen    int        `json:"ghosts_found"` // of which the largest are listed
	Footprint     *Footprint `json:"footprint"`    // nil: nothing prints
	Rollers       []Roller   `json:"rollers"`      // the ductor, then as the press's file has them
	Map           Map        `json:"map"`
	Tries         []Outcome  `json:"tries"` // the first is the preset as it is; empty: nothing was tried
}

// A Zone is what one zone prints.
type Zone struct {
	Zone         int      `json:"zone"`
	LeftMM       float64  `json:"left_mm"` // from the fountain's left end
	RightMM      float64  `json:"right_mm"`
	CoveragePct  float64  `json:"coverage_pct"`
	OpeningPct   float64  `json:"opening_pct"` // of the key as set
	KeyText      string   `json:"key_text"`
	Prints       bool     `json:"prints"` // more than a mark; the rest is of zones that do
	FilmUM       float64  `json:"film_um"`
	LeadUM       float64  `json:"lead_um"` // of the thirds of the image, from the gripper edge
	MiddleUM     float64  `json:"middle_um"`
	TailUM       float64  `json:"tail_um"`
	DeviationPct float64  `json:"deviation_pct"` // of the film, off the target
	SwingPct     float64  `json:"swing_pct"`     // between the fattest and the leanest sheet
	Density      *float64 `json:"density"`       // of solids; nil: the press does not know the ink's law
	Lead         *float64 `json:"density_lead"`
	Middle       *float64 `json:"density_middle"`
	Tail         *float64 `json:"density_tail"`
	NearAfter    *int     `json:"near_after_sheets"`        // until it stays within 10 % of the film at which it settles; nil: beyond what was followed
	GoodAfter    *int     `json:"good_after_sheets"`        // within 5 %
	NearTarget   *int     `json:"near_target_after_sheets"` // until it stays within 10 % of the target; nil: never, or beyond what was followed
	Never        bool     `json:"never_near_target"`        // it settles farther off the target
	GoodTarget   *int     `json:"good_target_after_sheets"` // within 5 %
	// Whether its first and last third both print; else lead, middle and tail may be what
	// a patch would carry there.
	Through bool `json:"prints_through"`
}

// A StartUp is what is printed before the films stand.
type StartUp struct {
	Near       Waste    `json:"within_10_pct"` // of the films at which zones settle
	Good       Waste    `json:"within_5_pct"`
	NearTarget Reach    `json:"within_10_pct_of_target"`
	GoodTarget Reach    `json:"within_5_pct_of_target"`
	Followed   int      `json:"sheets_followed"`
	Samples    []Sample `json:"samples"`
	LastZones  []int    `json:"last_zones"`   // those that stand last
	LastOffPct float64  `json:"last_off_pct"` // how far these are off their film half way there
}

// A Waste is what it costs until all zones stay within a share of their films; those that
// print less than 2 % are not waited for, unless none prints more.
type Waste struct {
	Sheets *int     `json:"sheets"` // nil: more than were followed
	InkG   *float64 `json:"ink_g"`
}

// A Reach is what it costs until all zones that come to stay within a share of the target
// do; of those that are waited for, as of a Waste.
type Reach struct {
	Waste
	Never []int `json:"never_zones"` // that settle farther off
}

// A Sample is one sheet of a start.
type Sample struct {
	Sheet   int       `json:"sheet"`   // from 1
	FilmUM  []float64 `json:"film_um"` // by zone
	Density []float64 `json:"density"` // of solids, likewise; nil: the press does not know the ink's law
}

// A Charge is how clean rollers are best inked before the run.
type Charge struct {
	OpeningPct  float64 `json:"opening_pct"`
	KeyText     string  `json:"key_text"`
	Turns       int     `json:"turns"`        // of the plate, form rollers off
	Sheets      int     `json:"sheets"`       // until all zones that are waited for stay within 10 % after it
	SavesSheets *int    `json:"saves_sheets"` // against washed rollers; nil: these take more than were followed
	Words       string  `json:"words"`
}

// An Idle is what it costs to turn without paper.
type Idle struct {
	Turns  int  `json:"turns"`
	Ductor bool `json:"ductor"` // whether it went on feeding
	Sheets *int `json:"sheets"` // until all zones are within 10 % again
}

// A Ghost is a step of the film that a form roller brings back from an edge of the image.
type Ghost struct {
	Roller          string   `json:"roller"`
	CircumferenceMM float64  `json:"circumference_mm"`
	Turns           int      `json:"turns"`
	CauseMM         float64  `json:"cause_mm"` // from the gripper edge
	AtMM            float64  `json:"at_mm"`
	LeftMM          float64  `json:"left_mm"` // from the fountain's left end
	RightMM         float64  `json:"right_mm"`
	Zones           []int    `json:"zones"`
	StepUM          float64  `json:"step_um"`
	StepPct         float64  `json:"step_pct"`
	StepDensity     *float64 `json:"step_density"`
}

// A Footprint is how what one key does to the film is shared among zones.
type Footprint struct {
	Zone   int       `json:"zone"`
	Shares []float64 `json:"shares_pct"` // by zone
}

// A Roller is the mean film on one roller.
type Roller struct {
	Name   string  `json:"name"`
	FilmUM float64 `json:"film_um"`
}

// A Map is the film over the sheet, in cells from the gripper edge and from the
// fountain's left end.
type Map struct {
	CellLengthMM float64      `json:"cell_length_mm"`
	CellWidthMM  float64      `json:"cell_width_mm"`
	FilmUM       [][]*float64 `json:"film_um"` // row by row; nil where nothing prints
}

// Of rehearses a preset. Inks are worked out side by side, on all cores, as far as their
// memory allows; it ends with ctx, whose cause is then the error. Other errors are of one
// line.
func Of(ctx context.Context, in Input) (*Rehearsal, error) {
	if in.Preset == nil {
		return nil, errors.New("there is no preset to rehearse; give one")
	}
	if err := in.Preset.IsFor(in.On, in.File); err != nil {
		return nil, err
	}
	chart, err := rollerchart.Of(in.On, in.OnFile)
	if err != nil {
		return nil, fmt.Errorf("press %s %w", settings.Quoted(in.On.Name), preset.ErrNoTrain)
	}
	r := &Rehearsal{Format: Format, Job: in.Preset.Job, Press: in.On.Name, WasRun: in.Preset.WasRun(), Start: in.Start.words(), SweepUnit: in.On.Sweep.Unit, Chart: chart}
	if len(in.On.Train.Feed.FittedFrom) == 0 {
		r.Trend = new(Trend)
	}
	r.Inks = make([]Ink, len(in.Preset.Units))
	stages := make([]*stage, len(r.Inks))
	var told sync.Mutex
	done := 0
	err = each(ctx, len(r.Inks), runtime.GOMAXPROCS(0), func(ctx context.Context, i int) (err error) {
		defer in.tell(&told, &done)
		if stages[i], err = newStage(in, &in.Preset.Units[i]); err == nil {
			err = stages[i].holding(ctx, func() (err error) {
				r.Inks[i], err = stages[i].rehearsed(ctx, in)
				return err
			})
		}
		if err != nil && ctx.Err() == nil {
			err = fmt.Errorf("%s: ink %s: %w", cmp.Or(in.File, in.Preset.Job), in.Preset.Units[i].Ink, err)
		}
		return err
	})
	if err == nil {
		r.say(stages, in)
	}
	if err == nil && in.FineMap {
		err = maps(ctx, stages, r.Inks)
	}
	return r, err
}

// say puts all inks into words, which takes those of a pass together.
func (r *Rehearsal) say(stages []*stage, in Input) {
	var all []makeready
	for i, s := range stages {
		ink := &r.Inks[i]
		all = append(all, s.makeready(ink.Charge, ink.StartUp.Near.Sheets, s.noneReached()))
	}
	for i, charge := range worth(in.Preset.Units, all) {
		r.Inks[i].Sentences = stages[i].sentences(&r.Inks[i], in, r.Chart.Doubt(), charge)
	}
}

// tell says that one more ink is done.
func (in Input) tell(told *sync.Mutex, done *int) {
	told.Lock()
	defer told.Unlock()
	*done++
	if in.Progress != nil {
		in.Progress(float64(*done) / float64(len(in.Preset.Units)))
	}
}

// each does n things, so many at once at the most. The error is that of the first in
// their order.
func each(ctx context.Context, n, most int, do func(ctx context.Context, i int) error) error {
	free := make(chan struct{}, most)
	errs := make([]error, n)
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() {
			free <- struct{}{}
			defer func() { <-free }()
			if errs[i] = context.Cause(ctx); errs[i] == nil {
				errs[i] = do(ctx, i)
			}
		})
	}
	all.Wait()
	if err := context.Cause(ctx); err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
