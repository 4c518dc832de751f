package curves

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves/settings"
)

// curveFile is a curve as its file states it.
type curveFile struct {
	Name           string       `toml:"name"`
	Shape          Shape        `toml:"shape"`
	ReferenceSweep *float64     `toml:"reference_sweep"`
	Points         [][]float64  `toml:"points"`
	Note           string       `toml:"note"`
	Learned        *learnedFile `toml:"learned"`
}

// ParseCurve reads a curve from TOML and prepares it. file names the source in
// errors, which are of type *settings.FileError.
func ParseCurve(file string, data []byte) (*Curve, error) {
	var raw curveFile
	if err := settings.Decode(file, data, &raw); err != nil {
		return nil, err
	}
	c, err := raw.curve()
	if err == nil {
		err = c.Prepare()
	}
	if err != nil {
		return nil, settings.InFile(err, file, "")
	}
	return c, nil
}

func (raw curveFile) curve() (*Curve, error) {
	c := &Curve{Name: raw.Name, Shape: raw.Shape, Note: raw.Note}
	if !settings.IsName(c.Name) {
		return nil, &settings.FileError{Place: "name", What: settings.Quoted(c.Name) + " is not a name", Do: "write one on a single line"}
	}
	if raw.ReferenceSweep != nil {
		if c.ReferenceSweep = *raw.ReferenceSweep; c.ReferenceSweep == 0 {
			return nil, &settings.FileError{
				Place: "reference_sweep", What: "a sweep of 0 feeds no ink",
				Do: "write the sweep that the points were found at, or leave the line out",
			}
		}
	}
	var err error
	if c.Points, err = points("points", raw.Points); err != nil {
		return nil, err
	}
	if raw.Learned != nil {
		if c.Learned, err = raw.Learned.provenance(); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// points are the pairs of the key named by place.
func points(place string, raw [][]float64) ([]Point, error) {
	var ps []Point
	for i, pair := range raw {
		if len(pair) != 2 {
			return nil, &settings.FileError{Place: place, What: fmt.Sprintf("point %d has %d numbers", i+1, len(pair)), Do: "write [coverage in %, opening in %]"}
		}
		ps = append(ps, Point{pair[0], pair[1]})
	}
	return ps, nil
}

// learnedFile is the [learned] table of a curve's file.
type learnedFile struct {
	From       string      `toml:"from"`
	FromShape  Shape       `toml:"from_shape"`
	FromPoints [][]float64 `toml:"from_points"`
	Runs       []string    `toml:"runs"`
	Pairs      int         `toml:"pairs"`
	LeftOut    int         `toml:"left_out"`
	ReadingPct float64     `toml:"reading_pct"`
	Edited     bool        `toml:"edited"`
}

// provenance checks the table.
func (raw *learnedFile) provenance() (*Provenance, error) {
	p := &Provenance{From: raw.From, FromShape: raw.FromShape, Runs: raw.Runs, Readings: raw.Pairs, LeftOut: raw.LeftOut, ReadingPct: raw.ReadingPct, Edited: raw.Edited}
	var err error
	if p.FromPoints, err = points("learned.from_points", raw.FromPoints); err != nil {
		return nil, err
	}
	if err := p.Origin(0).Validate(); err != nil {
		return nil, settings.InFile(err, "", "learned.from: ")
	}
	for _, name := range append([]string{p.From}, p.Runs...) {
		if !settings.IsName(name) {
			return nil, &settings.FileError{Place: "learned", What: settings.Quoted(name) + " is not a name", Do: "write from and runs each on a single line"}
		}
	}
	if len(p.Runs) == 0 || p.Readings < 1 || p.LeftOut < 0 || !(p.ReadingPct > 0) || math.IsInf(p.ReadingPct, 0) {
		return nil, &settings.FileError{Place: "learned", What: "runs, pairs and reading_pct are missing or impossible", Do: "remove the table if the points were changed by hand"}
	}
	return p, nil
}

// TOML is a valid curve as the text of its file; ParseCurve reads it back.
func (c *Curve) TOML() []byte {
	if c == nil {
		return nil
	}
	var b strings.Builder
	fmt.Fprintf(&b, "name = %s\nshape = %s\n", settings.TOMLString(c.Name), settings.TOMLString(string(c.Shape)))
	if c.ReferenceSweep > 0 {
		fmt.Fprintf(&b, "reference_sweep = %s\n", settings.Decimal(c.ReferenceSweep))
	}
	if c.Note != "" {
		fmt.Fprintf(&b, "note = %s\n", settings.TOMLString(c.Note))
	}
	b.WriteString("\n# [coverage_pct, opening_pct]\npoints = [\n")
	for _, p := range c.Points {
		fmt.Fprintf(&b, "  %s,\n", tomlPoint(p))
	}
	b.WriteString("]\n")
	if c.Learned != nil {
		c.Learned.write(&b)
	}
	return []byte(b.String())
}

func (p *Provenance) write(b *strings.Builder) {
	from := make([]string, len(p.FromPoints))
	for i, point := range p.FromPoints {
		from[i] = tomlPoint(point)
	}
	fmt.Fprintf(b, "\n# Learning again from all these runs and more starts from the curve named here.\n"+
		"# Where points are changed by hand, edited = true says so.\n[learned]\nfrom = %s\nfrom_shape = %s\nfrom_points = [%s]\nruns = [\n",
		settings.TOMLString(p.From), settings.TOMLString(string(p.FromShape)), strings.Join(from, ", "))
	for _, run := range p.Runs {
		fmt.Fprintf(b, "  %s,\n", settings.TOMLString(run))
	}
	fmt.Fprintf(b, "]\npairs = %d\nleft_out = %d\nreading_pct = %s\n", p.Readings, p.LeftOut, settings.Decimal(p.ReadingPct))
	if p.Edited {
		b.WriteString("edited = true\n")
	}
}

func tomlPoint(p Point) string {
	return fmt.Sprintf("[%s, %s]", settings.Decimal(p.CoveragePct), settings.Decimal(p.OpeningPct))
}
