package curves

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// A Provenance says what a curve was learned from.
type Provenance struct {
	From       string   // name of the curve that it started from
	FromPoints []Point  // of that curve
	FromShape  Shape    // of that curve
	Runs       []string // names of the runs, sorted
	Pairs      int      // readings that were used
	LeftOut    int      // zones that were not
	ReadingPct float64  // how well a key was taken to be read
	Edited     bool     // the points were changed since
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
	p := &Provenance{From: raw.From, FromShape: raw.FromShape, Runs: raw.Runs, Pairs: raw.Pairs, LeftOut: raw.LeftOut, ReadingPct: raw.ReadingPct, Edited: raw.Edited}
	var err error
	if p.FromPoints, err = points("learned.from_points", raw.FromPoints); err != nil {
		return nil, err
	}
	if err := p.origin(0).Validate(); err != nil {
		return nil, InFile(err, "", "learned.from: ")
	}
	for _, name := range append([]string{p.From}, p.Runs...) {
		if strings.TrimSpace(name) == "" || strings.ContainsFunc(name, unicode.IsControl) {
			return nil, &FileError{Place: "learned", What: Quoted(name) + " is no name", Do: "write from and runs each on a single line"}
		}
	}
	if len(p.Runs) == 0 || p.Pairs < 1 || p.LeftOut < 0 || !positive(p.ReadingPct) {
		return nil, &FileError{Place: "learned", What: "runs, pairs and reading_pct are missing or impossible", Do: "remove the table if the points were changed by hand"}
	}
	return p, nil
}

// origin is the curve that was started from.
func (p *Provenance) origin(referenceSweep float64) *Curve {
	return &Curve{Name: p.From, Shape: p.FromShape, ReferenceSweep: referenceSweep, Points: p.FromPoints}
}

// base is the curve to start from: the one that c started from, where c is as
// it was learned and all that it was learned from is here once more.
func (c *Curve) base(runs []Run) *Curve {
	if c.Learned == nil || c.Learned.Edited {
		return c
	}
	if len(c.learnedFrom(runs)) < len(c.Learned.Runs) {
		return c
	}
	return c.Learned.origin(c.ReferenceSweep)
}

// provenance is what the fit started from and took in.
func (f *fitting) provenance(base *Curve, runs []Run, leftOut int) *Provenance {
	p := &Provenance{
		From: base.Name, FromPoints: slices.Clone(base.Points), FromShape: base.Shape,
		Pairs: len(f.rows), LeftOut: leftOut, ReadingPct: f.o.ReadingPct,
	}
	names := map[string]bool{}
	for _, r := range runs {
		names[r.Name] = true
	}
	p.Runs = slices.Sorted(maps.Keys(names))
	return p
}

// TOML is a valid curve as the text of its file; ParseCurve reads it back.
func (c *Curve) TOML() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "name = %s\nshape = %s\n", tomlText(c.Name), tomlText(string(c.Shape)))
	if c.ReferenceSweep > 0 {
		fmt.Fprintf(&b, "reference_sweep = %s\n", tomlNumber(c.ReferenceSweep))
	}
	if c.Note != "" {
		fmt.Fprintf(&b, "note = %s\n", tomlText(c.Note))
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
		tomlText(p.From), tomlText(string(p.FromShape)), strings.Join(from, ", "))
	for _, run := range p.Runs {
		fmt.Fprintf(b, "  %s,\n", tomlText(run))
	}
	fmt.Fprintf(b, "]\npairs = %d\nleft_out = %d\nreading_pct = %s\n", p.Pairs, p.LeftOut, tomlNumber(p.ReadingPct))
	if p.Edited {
		b.WriteString("edited = true\n")
	}
}

func tomlPoint(p Point) string {
	return fmt.Sprintf("[%s, %s]", tomlNumber(p.CoveragePct), tomlNumber(p.OpeningPct))
}

func tomlNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// tomlText is a basic string of TOML 1.0, section String.
func tomlText(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case unicode.IsControl(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
