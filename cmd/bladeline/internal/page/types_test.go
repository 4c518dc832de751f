package page

import (
	"bytes"
	"cmp"
	"encoding/json"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rehearsal"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stated are the structs that go between page and server, by the name of their
// type in html/types.js.
var stated = map[string]reflect.Type{
	"State": reflect.TypeFor[State](), "PressEdit": reflect.TypeFor[pressJSON](), "Placement": reflect.TypeFor[preset.StatedPlacement](),
	"Unit": reflect.TypeFor[unit](), "Curve": reflect.TypeFor[curve](), "Provenance": reflect.TypeFor[curves.Provenance](), "Point": reflect.TypeFor[curves.Point](),
	"Start": reflect.TypeFor[startJSON](), "Limits": reflect.TypeFor[limitsJSON](), "Press": reflect.TypeFor[pressChoice](),
	"PrintingUnit": reflect.TypeFor[unitChoice](), "Paper": reflect.TypeFor[paperChoice](), "Takes": reflect.TypeFor[takesJSON](), "Open": reflect.TypeFor[openJSON](), "SmallFile": reflect.TypeFor[fileJSON](), "Opened": reflect.TypeFor[openedJSON](),
	"OpenedPreset": reflect.TypeFor[openedPreset](), "OpenedUnit": reflect.TypeFor[openedUnit](), "Stood": reflect.TypeFor[stood](), "Taking": reflect.TypeFor[takingJSON](),
	"SweepScale": reflect.TypeFor[sweepJSON](), "Separation": reflect.TypeFor[separationJSON](), "PreparedForm": reflect.TypeFor[preparedForm](),
	"Shape": reflect.TypeFor[shape](), "Plate": reflect.TypeFor[plate](),
	"Computed": reflect.TypeFor[computed](), "Zone": reflect.TypeFor[zoneJSON](), "Outline": reflect.TypeFor[outlineJSON](), "Misfit": reflect.TypeFor[misfitJSON](), "Relation": reflect.TypeFor[computedUnit](),
	"Preset": reflect.TypeFor[preset.Preset](), "PresetPress": reflect.TypeFor[preset.StatedPress](), "PresetUnit": reflect.TypeFor[preset.Unit](),
	"ByTrain": reflect.TypeFor[preset.ByTrain](), "StatedForm": reflect.TypeFor[preset.StatedForm](), "StatedPiece": reflect.TypeFor[preset.StatedPiece](), "StatedFile": reflect.TypeFor[preset.StatedFile](),
	"Key": reflect.TypeFor[preset.Key](), "Warning": reflect.TypeFor[zones.Warning](),
	"Trial": reflect.TypeFor[trial](), "Weighed": reflect.TypeFor[preset.Trial](), "WeighedZone": reflect.TypeFor[preset.TrialZone](),
	"AlongQuestion": reflect.TypeFor[alongQuestion](), "Along": reflect.TypeFor[alongJSON](), "Band": reflect.TypeFor[bandJSON](),
	"RowQuestion": reflect.TypeFor[rowQuestion](), "FormRow": reflect.TypeFor[formRow](),
	"RehearseQuestion": reflect.TypeFor[rehearseQuestion](), "Films": reflect.TypeFor[rehearsal.Films](), "Line": reflect.TypeFor[lineJSON](), "InkLine": reflect.TypeFor[inkLineJSON](), "StartUp": reflect.TypeFor[startUpJSON](), "Train": reflect.TypeFor[trainJSON](), "Roller": reflect.TypeFor[rollerJSON](),
	"Settled": reflect.TypeFor[settledJSON](), "Sheet": reflect.TypeFor[sheetJSON](), "FilmRun": reflect.TypeFor[runJSON](), "Pull": reflect.TypeFor[pullJSON](), "Solved": reflect.TypeFor[solvedJSON](), "Said": reflect.TypeFor[saidJSON](),
	"Brought": reflect.TypeFor[brought](), "FileError": reflect.TypeFor[fileError](), "Refusal": reflect.TypeFor[refusalJSON](),
}

// fields are those of a type, each with its kind as JSDoc writes it; a name in
// brackets may be missing.
type fields map[string]string

// TestTypesAreStated holds the types that the scripts state against the structs
// of Go: every struct, every field by its name in JSON, and of what kind it is.
func TestTypesAreStated(t *testing.T) {
	want := map[string]fields{}
	for name, of := range stated {
		want[name] = fields{}
		want[name].add(t, of)
	}
	assert.Equal(t, want, typedefs(t))
}

// add adds the fields of a struct as encoding/json writes them.
func (f fields) add(t *testing.T, of reflect.Type) {
	for _, field := range reflect.VisibleFields(of) {
		tag, options, _ := strings.Cut(field.Tag.Get("json"), ",")
		name := cmp.Or(tag, field.Name)
		switch {
		case field.Anonymous || tag == "-":
			continue
		case options == "omitempty":
			name = "[" + name + "]"
		}
		f[name] = kindOf(t, field.Type)
	}
}

// kindOf is a kind of Go as JSDoc writes that of its JSON.
func kindOf(t *testing.T, of reflect.Type) string {
	switch of.Kind() {
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "boolean"
	case reflect.Int, reflect.Int64, reflect.Float64:
		return "number"
	case reflect.Pointer:
		return kindOf(t, of.Elem()) + " | null"
	case reflect.Slice:
		if of.Elem().Kind() == reflect.Pointer {
			return "(" + kindOf(t, of.Elem()) + ")[]"
		}
		return kindOf(t, of.Elem()) + "[]"
	case reflect.Map:
		return "Record<string, " + kindOf(t, of.Elem()) + ">"
	}
	for name, known := range stated {
		if known == of {
			return name
		}
	}
	require.Fail(t, "no type of html/types.js is said to state this", "%s", of)
	return ""
}

var (
	typedef  = regexp.MustCompile(`(?s)@typedef \{object\} (\w+)\n(.*?)\*/`)
	property = regexp.MustCompile(`@property \{([^}]+)\} (\S+)`)
)

// typedefs are the types that html/types.js states.
func typedefs(t *testing.T) map[string]fields {
	text, err := embedded.ReadFile("html/types.js")
	require.NoError(t, err)
	all := map[string]fields{}
	for _, m := range typedef.FindAllStringSubmatch(string(text), -1) {
		require.NotContains(t, all, m[1], "stated twice")
		all[m[1]] = fields{}
		for _, p := range property.FindAllStringSubmatch(m[2], -1) {
			require.NotContains(t, all[m[1]], p[2], "%s states it twice", m[1])
			all[m[1]][p[2]] = p[1]
		}
	}
	require.Equal(t, strings.Count(string(text), "@typedef"), len(all), "a typedef that is none of an object")
	return all
}

// TestAnswersAreStated asks every question of the page: each answer is the struct
// that the scripts take it for, with nothing more and nothing less.
func TestAnswersAreStated(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	trained, rehearse := rehearsing(t, half)
	for name, answer := range map[string]answered{
		"Start":      c.fetch("/api/start"),
		"Separation": c.send("/api/draw", plateOf("Cyan", half)),
		"Computed":   c.send("/api/preset", state),
		"Along":      c.send("/api/along", alongQuestion{State: state, Zone: 3}),
		"Weighed":    c.send("/api/score", trial{State: state, Keys: make([]float64, 8), Sweep: 45}),
		"FormRow":    c.send("/api/row", rowQuestion{"harbour"}),
		"Brought":    c.upload([3]string{"file", "job_C.tif", example(t, "harbour-fair_C.tif")}, [3]string{"file", "letter.tif", "Dear Sir"}),
		"Line":       trained.send("/api/rehearse/line", rehearse),
		"Settled":    trained.send("/api/rehearse/settled", rehearse),
		"StartUp":    trained.send("/api/rehearse/clean", rehearse),
		"Solved":     trained.send("/api/rehearse/solved", rehearse),
		"Said":       trained.send("/api/rehearse/said", rehearse),
		"Pull":       trained.send("/api/rehearse/pulled", rehearse),
		"Refusal":    c.send("/api/preset", State{}),
	} {
		v := reflect.New(stated[name]).Interface()
		d := json.NewDecoder(bytes.NewReader(answer.body))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(v), name)
		assert.JSONEq(t, string(answer.body), string(marshalled(t, v)), name)
	}
}
