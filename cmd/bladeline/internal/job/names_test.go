package job

import (
	"fmt"
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

// seen is what others see of a name.
func seen(n Name) Name {
	n.folder, n.own, n.plain, n.matched = "", "", false, false
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
		got := seen(n.Read(name)[0])
		assert.NotEmpty(t, got.By, name)
		got.By = ""
		assert.Equal(t, want, got, "%q", name)
	}
}

func TestNamesByPattern(t *testing.T) {
	n := names(t, []string{`(?P<ink>[A-Za-z]+) (?P<job>\d+)[.]tif`, `(?P<job>\d+)[.](tif|pdf)`}, nil)
	assert.Equal(t, Name{Job: "2041", Ink: "Black", Given: true, By: "pattern 1"}, seen(n.Read("k 2041.tif")[0]))
	assert.Equal(t, Name{Job: "2041", By: "pattern 2"}, seen(n.Read("2041.tif")[0]))
	assert.Equal(t, Name{Job: "2041", By: "pattern 2"}, seen(n.Read("2041.pdf")[0]))
	assert.Equal(t, Name{By: "no pattern matches"}, seen(n.Read("2041_C.tif")[0]))
	assert.Equal(t, Name{By: "no pattern matches"}, seen(n.Read("x2041.tif")[0]), "all of a name must match")
	assert.Equal(t, "form", n.Read("form.form.toml")[0].Job)
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
		got := n.Read(name)[0]
		require.NotEmpty(t, got.By)
		require.True(t, norm.NFC.IsNormalString(got.Job) && utf8.ValidString(got.Job) && !strings.ContainsAny(got.Job, "\r\n"))
		if got.Ink != "" && !got.Given {
			require.Equal(t, coverage.InkFromName(name), got.Ink)
		}
	})
}

// What names tell together: a composite, a word behind the job that is no ink of the
// process, and what lies in a job's folder.
func TestNamesTogether(t *testing.T) {
	n := names(t, nil, nil)
	var lines []string
	for _, f := range n.Read(
		"Fête(Cyan).tif", "Fe\u0302te.tif", "Fête_Gold.tif", "Fête_back_K.tif", "Fête_back_Gold.tif", "Fête.cover", "Fêtes_Gold.tif",
		"hall/C.tif", "hall/Gold.tif", "fair/fair(Black).tif", "fair/fair.tif", "lone/all.tif", "Fête(Black).tif.part",
	) {
		lines = append(lines, fmt.Sprintf("%s %q: %s %t %t", f.Job, f.Ink, f.By, f.Beside, f.LeftOut))
	}
	assert.Equal(t, []string{
		`Fête "Cyan": JOB(INK) false false`,
		`Fête "": the composite of Fête, left out false true`,
		`Fête "": JOB_INK, beside others true false`,
		`Fête_back "Black": JOB_INK false false`,
		`Fête_back "": JOB_INK, beside others true false`,
		`Fête "": the whole name, no ink is told false false`,
		`Fêtes_Gold "": the whole name, no ink is told false false`,
		`hall "Cyan": a folder a job, INK false false`,
		`hall "": a folder a job, the whole name, no ink is told true false`,
		`fair "Black": a folder a job, JOB(INK) false false`,
		`fair "": the composite of fair, left out false true`,
		`lone "": a folder a job, the whole name, no ink is told false false`,
		` "": not finished, as its ending says false false`,
	}, lines)
}

// Jobs that are called alike and are not one are refused, each of their files by one
// of another.
func TestNamesakes(t *testing.T) {
	for name, c := range map[string]struct {
		names []string
		with  []string // of each name, "" where it is not refused
	}{
		"a PDF beside separations":           {[]string{"fair_C.tif", "fair_M.tif", "fair.pdf"}, []string{"fair.pdf", "fair.pdf", "fair_C.tif"}},
		"two files of all inks":              {[]string{"fair.cover", "fair.png", "gull.png"}, []string{"fair.png", "fair.cover", ""}},
		"a composite is none":                {[]string{"fair_C.tif", "fair.tif"}, []string{"", ""}},
		"capitals":                           {[]string{"Gull_C.tif", "gull_M.tif", "Gull_K.tif"}, []string{"gull_M.tif", "Gull_C.tif", "gull_M.tif"}},
		"a folder and files beside it":       {[]string{"hut/C.tif", "hut/M.tif", "hut_C.tif"}, []string{"hut_C.tif", "hut_C.tif", "hut/C.tif"}},
		"a folder a job, whatever is in it":  {[]string{"hut/a_C.tif", "hut/b_K.tif", "hut/Gold.tif", "hut/Silver.tif"}, []string{"", "", "", ""}},
		"a form file in a folder of another": {[]string{"hut/a.form.toml", "hut/C.tif"}, []string{"hut/C.tif", "hut/a.form.toml"}},
		"what is no job's":                   {[]string{"notes.txt", "NOTES.txt"}, []string{"", ""}},
	} {
		for i, f := range names(t, nil, nil).Read(c.names...) {
			if c.with[i] == "" {
				assert.NoError(t, f.Refused, name)
				continue
			}
			assert.EqualError(t, f.Refused, c.names[i]+": is a job of the same name as "+c.with[i]+"; rename the files of one, or take them away", name)
		}
	}
	for _, f := range names(t, []string{`(?P<job>\d+)-.*[.]tif`}, nil).Read("2041-front.tif", "2041-back.tif") {
		assert.NoError(t, f.Refused, "a pattern says that they are one job")
	}
}

// However files are called, they are read without harm, and the same in any order.
func FuzzNames(f *testing.F) {
	f.Add("fair_C.tif", "fair(Black).tif", "Fe\u0302te.Gold.tif")
	f.Add("hut/C.tif", "hut_C.tif", "HUT.pdf")
	f.Add("\xff\n_.tif", ".(C).tif", "a/b/c.form.toml")
	f.Fuzz(func(t *testing.T, a, b, c string) {
		n := Names{}
		read, turned := n.Read(a, b, c), n.Read(c, b, a)
		for i, name := range read {
			require.NotEmpty(t, name.By)
			require.True(t, utf8.ValidString(name.Job) && !strings.ContainsAny(name.Job, "\r\n"))
			other := turned[2-i]
			require.Equal(t, name.Refused != nil, other.Refused != nil)
			name.Refused, other.Refused = nil, nil
			require.Equal(t, name, other)
		}
	})
}
