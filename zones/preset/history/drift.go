package history

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// What makes a drift: a key that stands off for that many jobs at least, by a
// step of its scale or a point of travel at least, and clearly. 4 standard
// errors are asked for since every key and every day is looked at: of 10,000
// looks at keys that are right less than one passes. Common practice, no source.
const (
	leastJobs   = 3
	leastPoints = 1
	clearErrors = 4
)

// A Drift is a key that reads too high or too low: its zero has moved.
type Drift struct {
	Press  string  `json:"press"`
	Unit   *string `json:"unit"` // of the press
	Ink    *string `json:"ink"`  // where the unit is not stated
	Zone   int     `json:"zone"`
	Points float64 `json:"points"` // of travel, that it reads too high
	Since  string  `json:"since"`  // month, as 2026-03
	Whole  bool    `json:"whole"`  // it did so in all jobs that are known
	Jobs   int     `json:"jobs"`   // since then
	Text   string  `json:"text"`

	scale press.KeyScale
}

// keyOf tells the keys of a shop apart.
type keyOf struct {
	press, unit, ink string
	zone             int
}

// A series is what one key was off and how far it was moved, job by job.
type series struct {
	days       []Day
	off, moved []float64
	on         *press.Press
}

// drifts looks at every key; records stand in the order of their days.
func drifts(records []*Record) []Drift {
	keys := map[keyOf]*series{}
	for _, r := range records {
		for i := range r.Units {
			r.Units[i].addTo(keys, r)
		}
	}
	found := []Drift{}
	for _, at := range slices.SortedFunc(maps.Keys(keys), keyOf.compare) {
		if d, drifted := keys[at].drift(); drifted {
			d.Press, d.Zone = at.press, at.zone
			if at.unit != "" {
				d.Unit = new(at.unit)
			} else {
				d.Ink = new(at.ink)
			}
			d.Text = d.words()
			found = append(found, d)
		}
	}
	return found
}

func (u *UnitRecord) addTo(keys map[keyOf]*series, r *Record) {
	for _, p := range u.points {
		at := keyOf{press: r.Press, unit: u.Unit, zone: p.zone}
		if u.Unit == "" {
			at.ink = u.Ink
		}
		s := keys[at]
		if s == nil {
			s = &series{}
			keys[at] = s
		}
		s.days, s.on = append(s.days, r.Day), u.on
		s.off, s.moved = append(s.off, p.off), append(s.moved, p.moved)
	}
}

func (a keyOf) compare(b keyOf) int {
	return cmp.Or(cmp.Compare(a.press, b.press), cmp.Compare(a.unit, b.unit), cmp.Compare(a.ink, b.ink), cmp.Compare(a.zone, b.zone))
}

// drift finds since when a key stands off, if it does to this day. Before that
// it may have stood off otherwise: the day that parts the jobs is the one where
// the two means differ most, in standard errors of their difference. Where they
// do not differ clearly, the key has stood off all the time or not at all.
//
// A key that nobody moved that way is not called off, however much its neighbours
// were: on a form that comes back month after month the ink that they took is not to
// be told from the ink of all keys.
func (s *series) drift() (Drift, bool) {
	off := clipped(s.off)
	if len(off) < leastJobs {
		return Drift{}, false
	}
	scatter := scatterOf(off)
	from := parted(off, scatter)
	after := off[from:]
	d := Drift{
		Points: mean(after), Since: s.days[from].Month(), Whole: from == 0, Jobs: len(after), scale: s.on.Keys,
	}
	least := max(leastPoints, 100*d.scale.Step/d.scale.Travel) * (1 - 1e-9)
	last := mean(off[len(off)-leastJobs:]) // it may have been set right since
	way := math.Copysign(1, d.Points)
	moved := mean(clipped(s.moved)[from:])
	clear := math.Abs(d.Points) / (scatter / math.Sqrt(float64(len(after))))
	return d, math.Abs(d.Points) >= least && clear >= clearErrors && last*way >= least/2 && moved*way >= least/2
}

// parted is where the values after differ most from those before, 0 where they
// nowhere differ clearly. As many stand after it as make a drift.
func parted(off []float64, scatter float64) int {
	from, most, sum, before := 0, float64(clearErrors), 0.0, 0.0
	for _, v := range off {
		sum += v
	}
	for i := 1; i+leastJobs <= len(off); i++ {
		before += off[i-1]
		n, m := float64(i), float64(len(off)-i)
		clear := math.Abs((sum-before)/m-before/n) / (scatter * math.Sqrt(1/n+1/m))
		if clear >= most {
			from, most = i, clear
		}
	}
	return from
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// leastScatter is that of a key's reading, in points: a half of one.
const leastScatter = 0.5

// scatterOf is the standard deviation of the values about whatever they follow,
// by the median of the steps from one to the next, which a single jump does not
// touch: 1.4826 × median |step| / √2 where they are normal.
func scatterOf(values []float64) float64 {
	if len(values) < 2 {
		return leastScatter
	}
	var steps []float64
	for i := 1; i < len(values); i++ {
		steps = append(steps, math.Abs(values[i]-values[i-1]))
	}
	return max(leastScatter, 1.4826*median(steps)/math.Sqrt2)
}

// clipped keeps values that were misread from ruling a mean: none lies farther
// from the middle of its five than four times the scatter.
func clipped(values []float64) []float64 {
	far := 4 * scatterOf(values)
	kept := make([]float64, len(values))
	for i, v := range values {
		middle := median(values[max(0, i-2):min(len(values), i+3)])
		kept[i] = min(max(v, middle-far), middle+far)
	}
	return kept
}

func (d Drift) words() string {
	where, way, since := "", "high", "since "+monthWords(d.Since)
	switch {
	case d.Unit != nil:
		where = " of unit " + *d.Unit
	case d.Ink != nil:
		where = " of " + *d.Ink
	}
	if d.Points < 0 {
		way = "low"
	}
	if d.Whole {
		since = "in all its jobs"
	}
	return fmt.Sprintf("%s: key %d%s reads %s %s %s (%d jobs): zero it", d.Press, d.Zone, where, d.amount(), way, since, d.Jobs)
}

// amount is how far the key reads off, on its own scale.
func (d Drift) amount() string {
	size := math.Abs(d.Points)
	if d.scale.Unit == press.Percent {
		return fmt.Sprintf("%s points", settings.Plain(math.Round(10*size)/10))
	}
	steps := math.Round(size / 100 * d.scale.Travel / d.scale.Step)
	text := d.scale.Text(steps * d.scale.Step)
	if d.scale.Unit == press.Turn {
		return text + " turn"
	}
	return press.Amount(steps*d.scale.Step, string(d.scale.Unit))
}
