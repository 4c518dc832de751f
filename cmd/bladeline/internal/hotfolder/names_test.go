package hotfolder

import (
	"strings"
	"testing"
	"unicode/utf8"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"
)

func names(t *testing.T, patterns, inks []string) Names {
	n, err := NewNames(patterns, inks)
	require.NoError(t, err)
	return n
}

// Names as programs that separate write them: common practice.
func TestUsualNames(t *testing.T) {
	n := names(t, nil, []string{"Harbour-Red", "Grün"})
	for name, want := range map[string]Name{
		"job_C.tif":               {Job: "job", Ink: "Cyan"},
		"job-cyan.TIFF":           {Job: "job", Ink: "Cyan"},
		"job(Black).tif":          {Job: "job", Ink: "Black"},
		"job.Pantry Red.tif":      {Job: "job", Ink: "Pantry Red"},
		"job_Harbour-Red.tif":     {Job: "job", Ink: "Harbour-Red", Given: true},
		"my_job_k.png":            {Job: "my_job", Ink: "Black"},
		"job 2.0_C.tif":           {Job: "job 2.0", Ink: "Cyan", Given: true}, // else the ink would be 0_C
		"job.2026.tif":            {Job: "job.2026"},
		"harbour_fair.tif":        {Job: "harbour_fair"},
		"_C.tif":                  {Job: "_C", Ink: "Cyan"},
		"C.tif":                   {Job: "C"},
		"booklet/C.tif":           {Job: "booklet", Ink: "Cyan"},
		"booklet/front_C.tif":     {Job: "booklet", Ink: "Cyan"},
		"booklet/card.form.toml":  {Job: "booklet"},
		"card.form.toml":          {Job: "card"},
		"CARD.FORM.TOML":          {Job: "CARD"},
		"job.cover":               {Job: "job"},
		"job.pdf":                 {Job: "job"},
		"a\u0308_Gru\u0308n.tif":  {Job: "ä", Ink: "Grün", Given: true},
		"\n.tif":                  {Job: "unnamed"},
		"job_C.tif.part":          {},
		"job_C.tif~":              {},
		".job_C.tif":              {},
		"booklet/more/C.tif":      {},
		"notes.txt":               {},
		"job_C":                   {},
		"job.error.txt":           {},
		".bladeline-watch.lock":   {},
		"done/.hidden.form.toml":  {},
		"line\u2028break_C.tif":   {Job: "line break", Ink: "Cyan"},
		"bytes\xff_C.tif":         {Job: "bytes", Ink: "Cyan"},
		"job(Black)(Second).tif":  {Job: "job(Black)", Ink: "Second"},
		"job_(Black) .tif":        {Job: "job_(Black)"},
		"job__C.tif":              {Job: "job", Ink: "Cyan"},
		"a(b_C.tif":               {Job: "a(b", Ink: "Cyan"},
		"-o_C.tif":                {Job: "-o", Ink: "Cyan"},
		"job_C.form.toml":         {Job: "job_C"},
		"Café\u0301 () _M.tif":    {Job: "Café\u0301 ()", Ink: "Magenta"},
		"cafe\u0301_M.tif":        {Job: "café", Ink: "Magenta"},
		"UPPER_MAGENTA.TIF":       {Job: "UPPER", Ink: "Magenta"},
		"folder.with.dots/K.tif":  {Job: "folder.with.dots", Ink: "Black"},
		"harbour-fair.Red 2.tif":  {Job: "harbour-fair", Ink: "Red 2"},
		"harbour-fair_Yellow.png": {Job: "harbour-fair", Ink: "Yellow"},
	} {
		got := n.Read(name)
		assert.NotEmpty(t, got.By, name)
		got.By = ""
		assert.Equal(t, want, got, "%q", name)
	}
}

func TestNamesByPattern(t *testing.T) {
	n := names(t, []string{`(?P<ink>[A-Za-z]+) (?P<job>\d+)[.]tif`, `(?P<job>\d+)[.](tif|pdf)`}, nil)
	assert.Equal(t, Name{Job: "2041", Ink: "Black", Given: true, By: "pattern 1"}, n.Read("k 2041.tif"))
	assert.Equal(t, Name{Job: "2041", By: "pattern 2"}, n.Read("2041.tif"))
	assert.Equal(t, Name{Job: "2041", By: "pattern 2"}, n.Read("2041.pdf"))
	assert.Equal(t, Name{By: "no pattern matches"}, n.Read("2041_C.tif"))
	assert.Equal(t, Name{By: "no pattern matches"}, n.Read("x2041.tif"), "all of a name must match")
	assert.Equal(t, "form", n.Read("form.form.toml").Job)
	for pattern, want := range map[string]string{
		`(?P<job>`: "missing closing ): ", `job`: "has no group job; ",
	} {
		_, err := NewNames([]string{pattern}, nil)
		assert.ErrorContains(t, err, want)
	}
}

// Whatever a file is called, it is read without harm: a job's name is one composed
// line, and where no ink is given for a file the measuring reads the same off its name.
func TestAnyName(t *testing.T) {
	n := names(t, nil, nil)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ab(_.-]{1,5}[()_.-]?(C|K|Red|9)[)]?`)).Draw(t, "name")
		name = strings.Map(func(r rune) rune {
			if r == '/' || r == 0 {
				return '_'
			}
			return r
		}, name) + ".tif"
		got := n.Read(name)
		require.NotEmpty(t, got.By)
		require.True(t, norm.NFC.IsNormalString(got.Job) && utf8.ValidString(got.Job) && !strings.ContainsAny(got.Job, "\r\n"))
		if got.Ink != "" && !got.Given {
			require.Equal(t, coverage.InkFromName(name), got.Ink)
		}
		if got.Job != "" {
			require.NotContains(t, folderName(got.Job), "/")
			require.LessOrEqual(t, len(folderName(got.Job)), mostOfName+2)
		}
	})
}

func TestFolderName(t *testing.T) {
	long := strings.Repeat("é", 200)
	for name, want := range map[string]string{
		"Harbour fair": "Harbour fair", "a/b": "a%2Fb", ".": "%2E", "..": "%2E%2E", "a.": "a%2E", "a ": "a%20", ".a": "%2Ea", "100%": "100%25", "a:b?": "a%3Ab%3F", "-o": "-o", "Café": "Café",
	} {
		assert.Equal(t, want, folderName(name))
	}
	assert.Regexp(t, `^é{81}-[0-9a-f]{16}$`, folderName(long))
	assert.NotEqual(t, folderName(long), folderName(long+"a"), "other names, other folders")
}
