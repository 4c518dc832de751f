package settings

import (
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// swap is a text with some of its parts replaced.
func swap(text string, oldnew ...string) string { return strings.NewReplacer(oldnew...).Replace(text) }

func TestSetValue(t *testing.T) {
	const press = "name = \"Hall\" # of the ferry\r\n[keys] # scale\r\nstep = 1\r\nzero = [ # from zone 1\r\n  1, # worn\r\n 0]  # set in May\r\n[sweep]\r\nzero = 3\r\n"
	got, err := SetValue("p.toml", []byte(press), "[0, 2.5]", "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, swap(press, "[ # from zone 1\r\n  1, # worn\r\n 0]", "[0, 2.5]"), string(got))

	got, err = SetValue("p.toml", []byte(press), `"Quay"`, "name")
	require.NoError(t, err)
	assert.Equal(t, swap(press, `"Hall"`, `"Quay"`), string(got))

	got, err = SetValue("p.toml", []byte("\ufeff"+press), "2", "keys", "travel")
	require.NoError(t, err)
	assert.Equal(t, "\ufeff"+swap(press, "# scale\r\n", "# scale\r\ntravel = 2\r\n"), string(got))

	got, err = SetValue("p.toml", []byte("keys.zero = [] # none\nkeys.step = 1\n"), "[1]", "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "keys.zero = [1] # none\nkeys.step = 1\n", string(got))

	_, err = SetValue("p.toml", []byte("keys.step = 1\n"), "[1]", "keys", "zero")
	assert.EqualError(t, err, "p.toml: keys.zero: has no line of its own; write one: zero = …")
}

// An inline table is edited within its braces, and takes no comment: TOML 1.0,
// section Inline Table.
func TestSetValueInAnInlineTable(t *testing.T) {
	for _, edit := range []struct {
		before, want string
		value        string
		path         []string
	}{
		{"keys = { step = 1, zero = [ 1, 2 ] } # scale\n", "keys = { step = 1, zero = [3, 4] } # scale\n", "[3, 4]", []string{"keys", "zero"}},
		{"\ufeffkeys={step=1,zero=2}", "\ufeffkeys={step=0.5,zero=2}", "0.5", []string{"keys", "step"}},
		{"[a]\nb = { c.d = 'x', \"e f\" = { g = 1 } }\n", "[a]\nb = { c.d = 'x', \"e f\" = { g = 2 } }\n", "2", []string{"a", "b", "e f", "g"}},
		{"[a]\nb = { c.d = 'x' }\n", "[a]\nb = { c.d = \"}\" }\n", `"}"`, []string{"a", "b", "c", "d"}},
		{"keys = { step = 1 } # scale\n", "keys = { step = 1, zero = [\"a # b\"] } # scale\n", "[\"a # b\"] # by hand", []string{"keys", "zero"}},
		{"\ufeffkeys = {}\r\n", "\ufeffkeys = { zero = 1 }\r\n", "1", []string{"keys", "zero"}},
		{"keys = { }\n", "keys = { \"ä b\" = 1 }\n", "1", []string{"keys", "ä b"}},
		{"note = 'keys = { zero = 1 }'\nkeys = { zero = 2 }\n", "note = 'keys = { zero = 1 }'\nkeys = { zero = 3 }\n", "3", []string{"keys", "zero"}},
	} {
		got, err := SetValue("p.toml", []byte(edit.before), edit.value, edit.path...)
		require.NoError(t, err, edit.before)
		assert.Equal(t, edit.want, string(got))
		var file map[string]any
		require.NoError(t, toml.Unmarshal([]byte(strings.TrimPrefix(string(got), "\ufeff")), &file), "%s", got)
	}
	got, err := SetNumbers("p.toml", []byte("keys = { zero = [1, 2], step = 1 }\n"), []float64{3, 4.5}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "keys = { zero = [3, 4.5], step = 1 }\n", string(got))
}

func TestSetNumbers(t *testing.T) {
	const press = "[keys]\r\nzero = [ # from zone 1\r\n  1, # worn by 2\r\n -0.5 ]  # set in May\r\n"
	got, err := SetNumbers("p.toml", []byte(press), []float64{10.25, 0}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, swap(press, "  1,", "  10.25,", "-0.5", "0"), string(got))

	got, err = SetNumbers("p.toml", []byte(press), []float64{1, 2, 3.1}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "[keys]\r\nzero = [1, 2, 3.1]  # set in May\r\n", string(got), "of another number, all anew")

	got, err = SetNumbers("p.toml", []byte("[keys] # scale\n"), []float64{1, 2}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "[keys] # scale\nzero = [1, 2]\n", string(got))
}

func TestSetValueQuotesAKeyThatIsNotBare(t *testing.T) {
	got, err := SetValue("p.toml", []byte("[curves]\n"), `"red.toml"`, "curves", `Harbour "Red"`)
	require.NoError(t, err)
	assert.Equal(t, "[curves]\n\"Harbour \\\"Red\\\"\" = \"red.toml\"\n", string(got))
	_, err = SetValue("p.toml", []byte("[curves]\n"), "1")
	assert.EqualError(t, err, "p.toml: no key is named; name one")
}

// What is no list of numbers is replaced whole.
func TestSetNumbersOfAnotherValue(t *testing.T) {
	for _, value := range []string{`"a # b"`, `["a", 1]`, "[[1], [2]]", "true", "{ a = 1 }"} {
		got, err := SetNumbers("p.toml", []byte("zero = "+value), []float64{1, 2}, "zero")
		require.NoError(t, err)
		assert.Equal(t, "zero = [1, 2]", string(got))
	}
	got, err := SetNumbers("p.toml", []byte("zero = [ # none\n]"), nil, "zero")
	require.NoError(t, err)
	assert.Equal(t, "zero = [ # none\n]", string(got))
}

// anyText draws texts that are TOML, nearly TOML, or nothing of the sort.
func anyText(t *rapid.T) []byte {
	parts := rapid.SampledFrom([]string{
		"points", "[points]", "a.points", "=", " = ", "[", "]", "[[1, 2], [3, 4]]", "[1, 2]", ",", "1", "-2.5e3", "0x1F", `"`, `"""`, "'", "#", "# x\n",
		"\n", "\r\n", " ", "\t", "{", "}", `"a # b, ]"`, "true", "\ufeff", "\xff", "\x00", "inf",
	})
	return []byte(strings.Join(rapid.SliceOfN(parts, 0, 24).Draw(t, "parts"), ""))
}

func TestEditsTakeAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := anyText(t)
		if rapid.Bool().Draw(t, "as a value") {
			data = append([]byte("points = "), data...)
		}
		before := string(data)
		for _, path := range [][]string{{"points"}, {"a", "points"}, {"points", "points"}, {}} {
			var file map[string]any
			valid := toml.Unmarshal(data, &file) == nil
			edited, err := SetValue("t.toml", data, "1 # x", path...)
			if err != nil {
				require.NotContains(t, err.Error(), "\n")
			} else if valid {
				require.NoError(t, toml.Unmarshal(edited, &file), "%q", edited)
			}
			_, err = SetNumbers("t.toml", data, []float64{1, 2}, path...)
			if err != nil {
				require.NotContains(t, err.Error(), "\n")
			}
			rows, found := FindRows(data, path...)
			if !found {
				continue
			}
			row, column := rapid.IntRange(-1, 3).Draw(t, "row"), rapid.IntRange(-1, 3).Draw(t, "column")
			edits := [][]byte{rows.Set(row, column, 7), rows.SetColumn(column, []float64{7, 8}), rows.Insert(row, 7, 8), rows.Remove(row)}
			if !valid {
				continue
			}
			for _, edited := range edits {
				require.NoError(t, toml.Unmarshal(edited, &file), "%q", edited)
			}
		}
		require.Equal(t, before, string(data), "the text given is not written on")
	})
}

func TestNoRows(t *testing.T) {
	var none Rows
	assert.Empty(t, none.Set(0, 0, 1))
	assert.Empty(t, none.SetColumn(0, []float64{1}))
	assert.Empty(t, none.Insert(0, 1))
	assert.Empty(t, none.Remove(0))
}

// Numbers take each other's places, however they are written.
func TestNumbersInTheirPlaces(t *testing.T) {
	for before, want := range map[string]string{
		"zero = [1, 2]":           "zero = [3, 4]",
		"zero=[1,2]":              "zero=[3,4]",
		"zero = [1# 5\n,2 # 6\n]": "zero = [3# 5\n,4 # 6\n]",
		"zero = [1, 2, 3]":        "zero = [3, 4]",
		"zero = []":               "zero = [3, 4]",
	} {
		after, err := SetNumbers("p.toml", []byte(before), []float64{3, 4}, "zero")
		require.NoError(t, err, before)
		assert.Equal(t, want, string(after))
	}
}

// A table whose header ends the file has no line below it.
func TestNoLineBelowAHeader(t *testing.T) {
	_, err := SetValue("p.toml", []byte("name = \"p\"\n[keys]"), "1", "keys", "step")
	assert.EqualError(t, err, "p.toml: keys.step: has no line of its own; write one: step = …")
	after, err := SetValue("p.toml", []byte("name = \"p\"\n[keys]\n"), "1", "keys", "step")
	require.NoError(t, err)
	assert.Equal(t, "name = \"p\"\n[keys]\nstep = 1\n", string(after))
}

// A key is found in one of a list of tables, and added there where it is missing.
func TestSetValueInAListOfTables(t *testing.T) {
	const text = "zero = [9]\n[[units]]\nname = \"1\" # left\nzero = [1, 2] # of old\n\n[[units]]\nname = \"2\"\n[units.sweep]\nto = 80\n[keys]\nzero = [7, 7]\n"
	set := func(value string, path ...string) string {
		out, err := SetValue("p.toml", []byte(text), value, path...)
		require.NoError(t, err)
		return string(out)
	}
	assert.Equal(t, strings.Replace(text, "[1, 2]", "[3, 4]", 1), set("[3, 4]", TableOf("units", 0), "zero"))
	assert.Equal(t, strings.Replace(text, "[[units]]\nname = \"2\"", "[[units]]\nzero = [3, 4]\nname = \"2\"", 1), set("[3, 4]", TableOf("units", 1), "zero"))
	assert.Equal(t, strings.Replace(text, "to = 80", "to = 70", 1), set("70", TableOf("units", 1), "sweep", "to"))
	assert.Equal(t, strings.Replace(text, "[7, 7]", "[0, 0]", 1), set("[0, 0]", "keys", "zero"))
	out, err := SetNumbers("p.toml", []byte(text), []float64{5, 6}, TableOf("units", 0), "zero")
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(text, "[1, 2]", "[5, 6]", 1), string(out))
	_, err = SetValue("p.toml", []byte(text), "[]", TableOf("units", 2), "zero")
	assert.EqualError(t, err, "p.toml: units[2].zero: has no line of its own; write one: zero = …")
}
