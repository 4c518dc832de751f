package hotfolder

import (
	"fmt"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"

	"golang.org/x/text/unicode/norm"
)

// Rules say of jobs by their names what they are preset with, where that is other
// than what is asked of all.
type Rules struct{ rules []rule }

// A rule is of the jobs that one of its patterns matches. The first that is decides.
type rule struct {
	called string // as a log calls it
	names  []string
	press  string
	curves []job.Choice[string]
	paper  string
	sweeps []job.Choice[*float64]
}

// rulesFile is the file as it is read; nil is absent.
type rulesFile struct {
	Rules []ruleFile `toml:"rules"`
}

type ruleFile struct {
	Names  []string          `toml:"names"`
	Press  *string           `toml:"press"`
	Curve  *string           `toml:"curve"`
	Curves map[string]string `toml:"curves"`
	Paper  *string           `toml:"paper"`
	Sweep  any               `toml:"sweep"`
	Sweeps map[string]any    `toml:"sweeps"`
}

// ParseRules reads a file of rules from TOML. Presses and curves that it names are
// loaded, so that what is wrong with them is known before any job comes; paths are
// relative to the file. Errors have the file and place.
func ParseRules(file string, data []byte) (*Rules, error) {
	var raw rulesFile
	if err := settings.Decode(file, data, &raw); err != nil {
		return nil, err
	}
	if len(raw.Rules) == 0 {
		return nil, &settings.FileError{File: file, Place: "rules", What: "there are none", Do: "add a [[rules]] with names and press, curve, paper or sweep"}
	}
	r := &Rules{}
	for i, one := range raw.Rules {
		p := &ruleParser{file: file, table: fmt.Sprintf("rule %d: ", i+1)}
		r.rules = append(r.rules, p.rule(i+1, one))
		if p.err != nil {
			return nil, p.err
		}
	}
	return r, nil
}

// LoadRules reads a file of rules.
func LoadRules(file string) (*Rules, error) {
	data, err := job.ReadSettings(file)
	if err != nil {
		return nil, err
	}
	return ParseRules(file, data)
}

// Of is what the rule of a job is called, "" where there is none.
func (r *Rules) Of(name string) string {
	if one := r.of(name); one != nil {
		return one.called
	}
	return ""
}

// of is the rule of a job, nil where there is none.
func (r *Rules) of(name string) *rule {
	if r == nil {
		return nil
	}
	for i := range r.rules {
		if slices.ContainsFunc(r.rules[i].names, func(pattern string) bool {
			matched, err := path.Match(pattern, strings.ToLower(strings.ReplaceAll(name, "/", " ")))
			return err == nil && matched
		}) {
			return &r.rules[i]
		}
	}
	return nil
}

// apply has a ticket ask what the rule says.
func (r *rule) apply(t *job.Ticket) {
	if r.press != "" {
		t.Press = r.press
	}
	if r.curves != nil {
		t.Curves = r.curves
	}
	if r.paper != "" {
		t.Run.Paper = r.paper
	}
	if r.sweeps != nil {
		t.Sweeps = r.sweeps
	}
}

// A ruleParser keeps the first error.
type ruleParser struct {
	file, table string
	err         error
}

func (p *ruleParser) fail(place, what, do string) {
	if p.err == nil {
		p.err = &settings.FileError{File: p.file, Place: p.table + place, What: what, Do: do}
	}
}

func (p *ruleParser) rule(number int, raw ruleFile) rule {
	r := rule{called: fmt.Sprintf("rule %d of %s", number, filepath.Base(p.file))}
	if len(raw.Names) == 0 {
		p.fail("names", "no job is named", `write names = ["*-uncoated"], with * for any letters and ? for one`)
	}
	for _, name := range raw.Names {
		pattern := strings.ToLower(norm.NFC.String(name))
		if _, err := path.Match(pattern, ""); err != nil || name == "" {
			p.fail("names", settings.Quoted(name)+" is not a pattern", "write * for any letters, ? for one")
		}
		r.names = append(r.names, pattern)
	}
	if raw.Press == nil && raw.Curve == nil && raw.Curves == nil && raw.Paper == nil && raw.Sweep == nil && raw.Sweeps == nil {
		p.fail("names", "nothing is said of these jobs", "add press, curve, paper or sweep")
	}
	p.files(raw, &r)
	if raw.Paper != nil {
		if r.paper = *raw.Paper; !settings.IsName(r.paper) {
			p.fail("paper", settings.Quoted(r.paper)+" is not the name of a stock", "write one on a single line")
		}
	}
	p.sweeps(raw, &r)
	return r
}

// files are the press and the curves, which must be there and sound.
func (p *ruleParser) files(raw ruleFile, r *rule) {
	if raw.Press != nil {
		r.press = p.beside(*raw.Press)
		if _, _, err := job.LoadPress(r.press); err != nil {
			p.fail("press", err.Error(), "")
		}
	}
	curve := func(place, ink, called string) {
		called = p.beside(called)
		if _, err := job.LoadCurve(called); err != nil {
			p.fail(place, err.Error(), "")
		}
		r.curves = append(r.curves, job.Choice[string]{Ink: ink, Value: called})
	}
	if raw.Curve != nil {
		curve("curve", "", *raw.Curve)
	}
	for _, ink := range slices.Sorted(maps.Keys(raw.Curves)) {
		p.ink("curves", ink)
		curve("curves."+ink, ink, raw.Curves[ink])
	}
}

// beside is a path relative to the file of rules; a bare name may be of what ships.
func (p *ruleParser) beside(name string) string {
	if !strings.ContainsAny(name, `/\.`) || filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(p.file), name)
}

func (p *ruleParser) sweeps(raw ruleFile, r *rule) {
	add := func(place, ink string, v any) {
		choice := job.Choice[*float64]{Ink: ink}
		switch v := v.(type) {
		case int64:
			choice.Value = new(float64(v))
		case float64:
			choice.Value = new(v)
		case string:
			if v != "auto" {
				p.fail(place, settings.Quoted(v)+" is neither auto nor a number", `write "auto", or a setting of the press's own`)
			}
		default:
			p.fail(place, "is neither auto nor a number", `write "auto", or a setting of the press's own`)
		}
		r.sweeps = append(r.sweeps, choice)
	}
	if raw.Sweep != nil {
		add("sweep", "", raw.Sweep)
	}
	for _, ink := range slices.Sorted(maps.Keys(raw.Sweeps)) {
		p.ink("sweeps", ink)
		add("sweeps."+ink, ink, raw.Sweeps[ink])
	}
}

func (p *ruleParser) ink(place, ink string) {
	if !settings.IsName(ink) {
		p.fail(place, settings.Quoted(ink)+" is not the name of an ink", "write one on a single line")
	}
}
