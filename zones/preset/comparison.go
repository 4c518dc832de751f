package preset

import (
	_ "embed"
	"io"
	"strconv"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// CompareFormat names the format of a comparison's JSON.
const CompareFormat = "bladeline.compare/1"

// CompareSchema is the JSON Schema of a comparison, draft 2020-12.
//
//go:embed compare.schema.json
var CompareSchema []byte

// A Comparison says how the keys of b differ from those of a. What is nil is
// not known.
type Comparison struct {
	Format    string           `json:"format"`
	A         string           `json:"a"` // their files
	B         string           `json:"b"`
	AWasRun   bool             `json:"a_was_run"` // a is what was finally run, not what was preset
	BWasRun   bool             `json:"b_was_run"`
	ADate     *string          `json:"a_date"` // the days that the two state
	BDate     *string          `json:"b_date"`
	Press     string           `json:"press"`
	KeyUnit   press.KeyUnit    `json:"key_unit"`
	KeyStep   *float64         `json:"key_step"` // in KeyUnit
	SweepUnit string           `json:"sweep_unit"`
	Units     []UnitComparison `json:"units"`
}

// A UnitComparison is that of one ink. Its figures are of the keys that lie
// under the sheet in a or b, and that were read; they are nil where there are
// none. Largest is farthest from 0, and keeps its sign; a mean is of
// differences without their signs.
type UnitComparison struct {
	Ink               string          `json:"ink"`
	SweepA            float64         `json:"sweep_a"`
	SweepB            float64         `json:"sweep_b"`
	SetByA            string          `json:"set_by_a,omitempty"` // SetByCurve and so on; both are empty where both are by the curve
	SetByB            string          `json:"set_by_b,omitempty"`
	Compared          int             `json:"compared"`
	KeyLargest        *float64        `json:"key_largest"` // in the key unit
	KeyLargestZone    *int            `json:"key_largest_zone"`
	KeyMean           *float64        `json:"key_mean"`
	WithinStepPct     *float64        `json:"within_step_pct"` // share of keys
	FeedLargestPoints *float64        `json:"feed_largest_points"`
	FeedLargestZone   *int            `json:"feed_largest_zone"`
	FeedMeanPoints    *float64        `json:"feed_mean_points"`
	Within5PointsPct  *float64        `json:"within_5_points_pct"` // share of keys
	Keys              []KeyComparison `json:"keys"`
}

// A KeyComparison is that of one key.
//
//	feed = opening in % of travel × sweep
//	points = (feed b − feed a) / sweep a
//
// Points are how much wider the key would stand at the sweep of a, in % of
// travel, to feed what b feeds; at one sweep they are the difference in
// opening.
type KeyComparison struct {
	Zone                 int      `json:"zone"`
	KeyA                 *float64 `json:"key_a"` // in the key unit; nil: was not read
	KeyAText             *string  `json:"key_a_text"`
	KeyB                 *float64 `json:"key_b"`
	KeyBText             *string  `json:"key_b_text"`
	KeyDifference        *float64 `json:"key_difference"` // KeyB − KeyA
	FeedA                *float64 `json:"feed_a"`
	FeedB                *float64 `json:"feed_b"`
	FeedDifferencePoints *float64 `json:"feed_difference_points"`
	OffSheet             bool     `json:"off_sheet"` // in a and in b
}

// WriteJSON writes a comparison as JSON.
func (c *Comparison) WriteJSON(w io.Writer) error { return EncodeJSON(w, c) }

// WriteCSV writes a comparison as CSV after RFC 4180, one row a key. Texts are
// guarded as in a preset's CSV.
func (c *Comparison) WriteCSV(w io.Writer) error {
	if c == nil {
		return errNothing
	}
	rows := [][]string{{"ink", "zone", "sweep_a", "sweep_b", "key_a", "key_b", "key_difference", "feed_a", "feed_b", "feed_difference_points"}}
	for _, u := range c.Units {
		name := Guarded(u.Ink)
		for _, k := range u.Keys {
			rows = append(rows, []string{
				name, strconv.Itoa(k.Zone), settings.Shortest(u.SweepA), settings.Shortest(u.SweepB),
				optional(k.KeyA), optional(k.KeyB), optional(k.KeyDifference), optional(k.FeedA), optional(k.FeedB), optional(k.FeedDifferencePoints),
			})
		}
	}
	return EncodeCSV(w, rows)
}
