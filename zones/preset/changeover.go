package preset

import (
	_ "embed"
	"io"
	"slices"
	"strconv"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// ChangeFormat names the format of a change-over's JSON.
const ChangeFormat = "bladeline.change/1"

// ChangeSchema is the JSON Schema of a change-over, draft 2020-12.
//
//go:embed change.schema.json
var ChangeSchema []byte

// A ChangeOver says how every key goes from where the last job left it to where
// this job has it. What is nil is not known.
type ChangeOver struct {
	Format     string       `json:"format"`
	Last       *string      `json:"last"` // its file; nil where this job goes from pass to pass
	LastJob    *string      `json:"last_job"`
	LastWasRun bool         `json:"last_was_run"` // its keys are those that were finally run, where they were read
	This       string       `json:"this"`
	ThisJob    string       `json:"this_job"`
	ThisWasRun bool         `json:"this_was_run"`
	Press      StatedPress  `json:"press"`
	Steps      []ChangeStep `json:"steps"` // one for every pass that comes, in order
	StatesShut bool         `json:"-"`     // not all keys show 0 where they are shut
}

// A ChangeStep is what is done before a pass.
type ChangeStep struct {
	Pass  *int         `json:"pass"`
	Units []UnitChange `json:"units"`
	Idle  []IdleUnit   `json:"idle"` // units that the pass does not run; their keys stay
}

// An IdleUnit is a printing unit that a pass does not run.
type IdleUnit struct {
	Unit *string `json:"unit"`
	Ink  string  `json:"ink"` // that stands in it
}

// How it was found in which fountain an ink of this job runs.
const (
	MatchedAsAsked = "asked"
	MatchedByUnit  = "unit"  // both jobs name the printing unit
	MatchedByInk   = "ink"   // the same ink stands there
	MatchedByOrder = "order" // what is left, one after the other
)

// A UnitChange is what is done in one printing unit.
type UnitChange struct {
	Unit            *string     `json:"unit"`       // its name
	MatchedBy       *string     `json:"matched_by"` // nil: nothing is known of what stands there
	InkWas          *string     `json:"ink_was"`
	PassWas         *int        `json:"-"` // of this job, that left it so; nil: the last job did
	Ink             string      `json:"ink"`
	WashUp          bool        `json:"wash_up"`       // another ink stands there
	InkStandsIn     *string     `json:"ink_stands_in"` // the unit where this ink stands, where that is another
	SweepWas        *float64    `json:"sweep_was"`     // in the press's unit of sweep
	Sweep           float64     `json:"sweep"`
	SweepDifference *float64    `json:"sweep_difference"`
	Moved           int         `json:"moved"`    // how many keys are touched
	Stay            int         `json:"stay"`     // and how many are not
	NotRead         []int       `json:"not_read"` // zones whose keys nobody read off after the last run, so that its preset stands for them
	Rounds          *int        `json:"rounds"`   // in how many the keys are moved, so that one blade is not bent too steeply on the way
	NeighbourPct    float64     `json:"-"`        // how far the blade bends from key to key, in % of travel, where there are several rounds
	MostText        string      `json:"-"`        // how far a key goes in one of them
	Keys            []KeyChange `json:"keys"`     // by zone, from 1
}

// A Move is what becomes of a key.
type Move string

// The moves.
const (
	Open  Move = "open"
	Close Move = "close"
	Stay  Move = "stay"
	SetTo Move = "set" // where it stands is not known
)

// A KeyChange is what is done with one key. Differences are on the press's own
// scale, so that a zero that was learned in between is in none of them.
type KeyChange struct {
	Zone           int           `json:"zone"`
	Order          *int          `json:"order"`   // in which the keys are moved, from 1; nil: stays
	KeyWas         *float64      `json:"key_was"` // in the key unit
	KeyWasText     *string       `json:"key_was_text"`
	Key            float64       `json:"key"`
	KeyText        string        `json:"key_text"`
	Difference     *float64      `json:"key_difference"` // Key − KeyWas
	DifferenceText *string       `json:"key_difference_text"`
	Move           Move          `json:"move"`
	Turn           *press.Turned `json:"turn"` // of the screw; nil where none is turned
}

// Inks are those of all units, pass by pass.
func (c *ChangeOver) Inks() []string {
	var names []string
	for _, s := range c.Steps {
		for _, u := range s.Units {
			names = append(names, u.Ink)
		}
	}
	return names
}

// Centre is the zone at which the keys are begun with.
func (c *ChangeOver) Centre() int { return centreOf(c.Press.Zones) }

func centreOf(zones int) int { return (zones + 1) / 2 }

// InOrder are the keys to move, in the order of work.
func (u *UnitChange) InOrder() []KeyChange {
	moved := slices.DeleteFunc(slices.Clone(u.Keys), func(k KeyChange) bool { return k.Order == nil })
	slices.SortFunc(moved, func(a, b KeyChange) int { return *a.Order - *b.Order })
	return moved
}

// WriteJSON writes a change-over as JSON.
func (c *ChangeOver) WriteJSON(w io.Writer) error { return EncodeJSON(w, c) }

// WriteCSV writes a change-over as CSV after RFC 4180, one row a key. Texts are
// guarded as in a preset's CSV.
func (c *ChangeOver) WriteCSV(w io.Writer) error {
	if c == nil {
		return errNothing
	}
	rows := [][]string{{
		"pass", "unit", "ink_was", "ink", "wash_up", "sweep_was", "sweep", "sweep_difference",
		"zone", "order", "key_was", "key", "key_difference", "move", "turn",
	}}
	for _, s := range c.Steps {
		for i := range s.Units {
			head := s.Units[i].cells(s.Pass)
			for _, k := range s.Units[i].Keys {
				rows = append(rows, slices.Concat(head, k.cells()))
			}
		}
	}
	return EncodeCSV(w, rows)
}

func (u *UnitChange) cells(pass *int) []string {
	washUp := "no"
	if u.WashUp {
		washUp = "yes"
	}
	return []string{
		optionalInt(pass), Guarded(orEmpty(u.Unit)), Guarded(orEmpty(u.InkWas)), Guarded(u.Ink), washUp,
		optional(u.SweepWas), settings.Shortest(u.Sweep), optional(u.SweepDifference),
	}
}

func (k *KeyChange) cells() []string {
	return []string{
		strconv.Itoa(k.Zone), optionalInt(k.Order), optional(k.KeyWas), settings.Shortest(k.Key), optional(k.Difference),
		string(k.Move), string(orEmpty(k.Turn)),
	}
}

// orEmpty is an empty text where it is not known.
func orEmpty[S ~string](s *S) S {
	if s == nil {
		return ""
	}
	return *s
}

func optionalInt(v *int) string {
	if v == nil {
		return ""
	}
	return strconv.Itoa(*v)
}
