package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"bladeline/coverage/coveragetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sixKeys = `name = "Six keys"
[fountain]
zones = 6
zone_width_mm = 25.4
first_zone = "left"
blade = "segmented"
[keys]
unit = "%"
travel = 100
step = 1
[sweep]
unit = "%"
from = 10
to = 90
step = 1
reference = 45
[curves]
default = "line.curve.toml"
`

const lineCurve = "name = \"Line\"\nshape = \"straight\"\npoints = [[0, 0], [100, 100]]\n"

// badFolder is a folder of sound and unsound files, and the working directory
// of the test.
func badFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	write := func(name, text string) { require.NoError(t, os.WriteFile(name, []byte(text), 0o666)) }
	plates := func(lines string) {
		for line := range strings.Lines(lines) {
			words := strings.Fields(line)
			require.NoError(t, writePlate(words[0], words[1:]...))
		}
	}
	plates(`a_C.tif 40x100 10 g4 10,20,30,40
		b_C.tif 40x100 10 lzw 10,20,30,40
		nodpi.tif 40x100 0 10,20,30,40
		wide.tif 100x100 10 50
		red.tif 40x100 10 red 30
		red.png 40x100 10 red 30
		red8.tif 40x100 10 red deflate 30
		sound.png 40x100 10 8bit 30
		tworeds.tif 40x100 10 pages 10 20`)
	for name := range coveragetest.Compressions {
		require.NoError(t, writePlate("whole.tif", "400x1000", "10", name, "10,20,30,40,50,60,70,80"))
		whole, err := os.ReadFile("whole.tif")
		require.NoError(t, err)
		// The data stand before the directory, so a file cut in half has no
		// directory; the other has one, and a strip that ends early.
		write("cut-"+name+".tif", string(whole[:len(whole)/2]))
		require.NoError(t, writePlate("short-"+name+".tif", "400x1000", "10", name, "short", "10,20,30,40,50,60,70,80"))
	}
	png, err := os.ReadFile("sound.png")
	require.NoError(t, err)
	write("cut.png", string(png[:len(png)/2]))
	// Before the last chunk, of 12 bytes, stands the CRC of the data.
	write("crc.png", flipped(png, len(png)-12-1))
	write("flipped.png", flipped(png, len(png)-12-5))
	write("empty.tif", "")
	write("form.pdf", "%PDF-1.7\n")
	write("letter.txt", "Dear operator,\n")
	write("noise.pdf", "Dear operator,\n")
	write("six.press.toml", sixKeys)
	write("misspelt.press.toml", strings.Replace(sixKeys, "zone_width_mm", "zone_widht_mm", 1))
	write("broken.press.toml", strings.Replace(sixKeys, "travel = 100", "travel = ", 1))
	write("bare.press.toml", strings.Replace(sixKeys, "default = \"line.curve.toml\"\n", "", 1))
	write("lost.press.toml", strings.Replace(sixKeys, "line.curve", "lost.curve", 1))
	write("line.curve.toml", lineCurve)
	write("falls.curve.toml", strings.Replace(lineCurve, "[100, 100]", "[50, 60], [100, 40]", 1))
	write("big.tif", strings.Repeat("\n", 3<<20))
	write("old.csv", "the preset of last week\n")
	badTables(write)
	require.NoError(t, os.Mkdir("folder.csv", 0o777))
}

// okHeader and okRows are an OK file of the six keys.
const (
	okHeader = "job,press,ink,zone,left_mm,right_mm,coverage_pct,opening_pct,key,key_text,key_unit,state,sweep,sweep_unit,ok_key,ok_sweep\n"
	okRows   = `Gull,Six keys,Cyan,1,,,5,5,5,5,%,set,45,%,7,
Gull,Six keys,Cyan,2,,,15,15,15,15,%,set,45,%,18,
Gull,Six keys,Cyan,3,,,30,30,30,30,%,set,45,%,33,
Gull,Six keys,Cyan,4,,,50,50,50,50,%,set,45,%,52,
Gull,Six keys,Cyan,5,,,80,80,80,80,%,set,45,%,81,
Gull,Six keys,Cyan,6,,,90,90,90,90,%,set,45,%,91,
`
)

// badTables are OK files and tables of densities, sound and unsound.
func badTables(write func(name, text string)) {
	write("ok.csv", okHeader+okRows)
	swapped := func(name, old, new string) { write(name, strings.Replace(okHeader+okRows, old, new, 1)) }
	swapped("ok-nan.csv", "%,18,", "%,NaN,")
	swapped("ok-inf.csv", "%,18,", "%,+Inf,")
	swapped("ok-comma.csv", "%,18,", "%,18,5,")
	swapped("ok-off.csv", "%,18,", "%,101,")
	swapped("ok-sweep.csv", "%,18,", "%,18,99")
	swapped("ok-twice.csv", "Cyan,2,", "Cyan,1,")
	swapped("ok-coverage.csv", "15,15,15,15", "150,15,15,15")
	swapped("ok-columns.csv", ",ok_key,ok_sweep", "")
	swapped("ok-separator.csv", ",zone,", "|zone|")
	write("ok-cut.csv", okHeader+okRows[:100])
	write("ok-huge.csv", okHeader+strings.Repeat(okRows, 60_000))
	write("d.csv", "ink,zone,density\nCyan,2,1.4\n")
	write("d-nan.csv", "ink,zone,density\nCyan,2,nan\n")
	write("d-lone.csv", "ink,zone\nCyan,2\n")
	write("d-open.csv", "ink,zone,density\nCyan,2,\"1.4\n")
}

func flipped(data []byte, at int) string {
	turned := bytes.Clone(data)
	turned[at] ^= 1
	return string(turned)
}

// What the lines of some commands begin with.
const (
	learnOf   = "curve learn --press six.press.toml --ink Cyan -o x.curve.toml "
	correctOf = "correct --press six.press.toml --target 1.5 --limit 2 "
)

// badInputs are command lines, split at blanks, and what the line on standard
// error must be; "…" stands for any text.
var badInputs = []struct{ line, want string }{
	{"measure nothere.tif", "nothere.tif: there is no such file; check the name and the folder"},
	{"measure short-none.tif nothere.tif", "nothere.tif: there is no such file; …"}, // before any is read
	{"measure empty.tif", "empty.tif: the file is empty; export the separation again"},
	{"measure folder.csv", "folder.csv: is a folder; name the separations in it"},
	{"measure letter.txt", "letter.txt: this is neither TIFF nor PNG nor saved coverage; export separations as TIFF or PNG"},
	{"measure noise.pdf", "noise.pdf: this is no PDF, though its name says so; export it again"},
	{"measure form.pdf", "form.pdf: is damaged or cut short (Ghostscript: …); export it anew from the program that it came from"},

	{"measure cut-none.tif", "cut-none.tif: …; …"},
	{"measure cut-packbits.tif", "cut-packbits.tif: …; …"},
	{"measure cut-lzw.tif", "cut-lzw.tif: …; …"},
	{"measure cut-deflate.tif", "cut-deflate.tif: …; …"},
	{"measure cut-g4.tif", "cut-g4.tif: …; …"},
	{"measure short-none.tif", "short-none.tif: page 1, row …; …"},
	{"measure short-packbits.tif", "short-packbits.tif: page 1, row …; …"},
	{"measure short-lzw.tif", "short-lzw.tif: page 1, row …; …"},
	{"measure short-deflate.tif", "short-deflate.tif: page 1, row …; …"},
	{"measure short-g4.tif", "short-g4.tif: page 1, row …; …"},
	{"measure cut.png", "cut.png: …; …"},
	{"measure crc.png", "crc.png: …CRC…; …"},
	{"measure flipped.png", "flipped.png: page 1, row …; …"},

	{"measure red.tif", "red.tif: page 1, row 2: an RGB picture is not a separation: pixel 3 of the row is red 255, green 0, blue 0, which is not neutral; leave it out where it is the composite beside the separations, else export each ink as gray, or all of them as CMYK"},
	{"measure red8.tif", "red8.tif: page 1, row 2: an RGB picture is not a separation: pixel 3 of the row is red 255, green 0, blue 0, which is not neutral; …"},
	{"measure red.png", "red.png: …row 2: an RGB picture is not a separation: pixel 3 of the row is red 255, green 0, blue 0, which is not neutral; …"},

	{"measure --press six.press.toml nodpi.tif", "nodpi.tif: page 1: ink nodpi: the raster states no resolution, so its place on the fountain is not known; give --dpi"},
	{"preset --press six.press.toml nodpi.tif", "nodpi.tif: page 1: ink nodpi: the raster states no resolution, …; give --dpi"},
	{"preset --press six.press.toml wide.tif", "wide.tif: page 1: ink wide: ink stands beyond the fountain's ends, 50.8 mm at the left and 50.8 mm at the right: …; …"},
	{"preset --press misspelt.press.toml a_C.tif", `misspelt.press.toml: line 4, column 1: unknown key "fountain.zone_widht_mm"; did you mean "zone_width_mm"?`},
	{"press show broken.press.toml", "broken.press.toml: line 9, column …: …; correct this line"},
	{"preset --press bare.press.toml a_C.tif", "bare.press.toml: names no curve for Cyan; add one under [curves], or give --curve"},
	{"preset --press lost.press.toml a_C.tif", "lost.press.toml names a curve: lost.curve.toml: there is no such file; check the name and the folder"},
	{"preset --press six.press.toml --curve falls.curve.toml a_C.tif", "falls.curve.toml: points: point 3 [100, 40]: …; …"},
	{"curve show falls.curve.toml", "falls.curve.toml: points: point 3 [100, 40]: the opening falls from 60 to 40; …"},
	{"preset --press six.press.toml --sweep 9 a_C.tif", "ink Cyan: a sweep of 9 cannot be set: the press sweeps from 10 to 90 % in steps of 1; give one of these, or auto"},
	{"preset --press six.press.toml --sweep Cyan=45.5 a_C.tif", "ink Cyan: a sweep of 45.5 cannot be set: the press sweeps from 10 to 90 % in steps of 1; …"},
	{"preset --press six.press.toml a_C.tif b_C.tif", "b_C.tif: is the ink Cyan, and so is a_C.tif; name them apart as INK=FILE"},
	{"preset --press six.press.toml Sand,sand=tworeds.tif", "tworeds.tif: page 2: is the ink sand, and so is tworeds.tif; name them apart as INK=FILE"},
	{"preset --press nope a_C.tif", "nope: not a press; name a file, or one of these: duplicator, four-colour, two-colour"},
	{"preset --press six.press.toml --curve nope a_C.tif", "nope: not a curve; name a file, or one of these: coated, duplicator, uncoated"},
	{"preset --press a_C.tif a_C.tif", "a_C.tif: line 1, column 10: this is no text in UTF-8; …"},
	{"preset --press big.tif a_C.tif", "big.tif: more than 1 MiB is too much for a file of settings; …"}, // and no more were read
	{"preset --press folder.csv a_C.tif", "folder.csv: is a folder; name a file in it"},

	{"estimate --copies 10 nodpi.tif", "nodpi.tif: page 1: ink nodpi: the raster states no resolution, so its area is not known; give --dpi"},
	{"estimate --copies 10 short-lzw.tif", "short-lzw.tif: page 1, row …; …"},
	{"estimate --copies 10 red.png", "red.png: …row 2: an RGB picture is not a separation: …; …"},
	{"estimate --copies 10 a_C.tif b_C.tif", "b_C.tif: is the ink Cyan, and so is a_C.tif; name them apart as INK=FILE"},
	{"estimate --copies 10 folder.csv", "folder.csv: is a folder; name a file in it"},
	{"estimate --copies 10 --press nope a_C.tif", "nope: not a press; name a file, or one of these: duplicator, four-colour, two-colour"},
	{"compare a_C.tif b_C.tif", "a_C.tif: this is no preset, but a TIFF; give a preset as bladeline wrote it"},
	{"compare folder.csv nothere.csv", "folder.csv: is a folder; name a file in it"},
	{"change a_C.tif b_C.tif", "a_C.tif: this is no preset, but a TIFF; give a preset as bladeline wrote it"},
	{"change nothere.csv", "nothere.csv: there is no such file; check the name and the folder"},
	{"compare nothere.json a_C.tif", "nothere.json: there is no such file; check the name and the folder"},

	{learnOf + "nothere.csv", "nothere.csv: there is no such file; check the name and the folder"},
	{learnOf + "empty.tif", "empty.tif: not an OK file; name a preset's .csv in which ok_key is filled in"},
	{learnOf + "folder.csv", "folder.csv: there is no OK file of Cyan; fill in ok_key in the CSV of a preset"},
	{learnOf + "ok-nan.csv", `ok-nan.csv: row 3, column ok_key: "NaN" is not a key setting; write it like 37, 1.375 or 1 3/8`},
	{learnOf + "ok-inf.csv", `ok-inf.csv: row 3, column ok_key: "+Inf" is not a key setting; …`},
	{learnOf + "ok-comma.csv", "ok-comma.csv: row 3: wrong number of fields; write a point for a decimal comma, or part the cells by semicolons"},
	{learnOf + "ok-off.csv", `ok-off.csv: ink "Cyan", zone 2, column ok_key: 101 is beyond the key's scale, 0 to 100; write the key as it stood`},
	{learnOf + "ok-sweep.csv", `ok-sweep.csv: ink "Cyan", column ok_sweep: a sweep of 99 is beyond the press's, 10 to 90 %; write the sweep that was run`},
	{learnOf + "ok-twice.csv", `ok-twice.csv: row 3, column zone: zone 1 of ink "Cyan" stands in row 2 already; keep one row for every key`},
	{learnOf + "ok-coverage.csv", "ok-coverage.csv: row 3, column coverage_pct: …"},
	{learnOf + "ok-columns.csv", "ok-columns.csv: row 1, column ok_key: is missing; keep to the columns …"},
	{learnOf + "ok-separator.csv", "ok-separator.csv: row 1, column ink: is missing; keep to the columns …"},
	{learnOf + "ok-cut.csv", "ok-cut.csv: row 4: …; …"},
	{learnOf + "ok-huge.csv", "ok-huge.csv: more than 16 MiB are too many; check that this is the file you meant"},
	{learnOf + "ok.csv ok.csv", "ok.csv: is given twice; name every run once"},
	{learnOf + "ok.csv -o nofolder/p.svg", "nofolder/p.svg: cannot be written: …; …"},
	{learnOf + "ok.csv --curve falls.curve.toml", "falls.curve.toml: points: point 3 [100, 40]: …; …"},
	{"curve learn --press six.press.toml --ink Cyan -o nofolder/x.toml ok.csv", "nofolder/x.toml: cannot be written: …; …"},
	{"curve learn --press six.press.toml --ink Cyan -o line.curve.toml ok.csv", "line.curve.toml: already exists and is not overwritten; choose another name"},
	{"curve learn --press six.press.toml --ink Cyan -o six.press.toml ok.csv", "six.press.toml: is read and would be overwritten; name another file"},
	{"curve density nothere.csv", "nothere.csv: there is no such file; check the name and the folder"},
	{"curve density folder.csv", "folder.csv: is a folder; name a file in it"},
	{"curve density empty.tif", "empty.tif: row 1: there is no header; give the CSV of films and densities"},
	{"curve density ok.csv", `ok.csv: row 1: "job" is not a column of films and densities, or is there twice; …`},

	{correctOf + "ok.csv nothere.csv", "nothere.csv: there is no such file; check the name and the folder"},
	{correctOf + "nothere.json d.csv", "nothere.json: there is no such file; check the name and the folder"},
	{correctOf + "folder.csv d.csv", "folder.csv: is a folder; name a file in it"},
	{correctOf + "ok.csv folder.csv", "folder.csv: is a folder; name a file in it"},
	{correctOf + "ok.csv empty.tif", "empty.tif: row 1: there is no header; give the CSV of densities"},
	{correctOf + "ok.csv d-nan.csv", `d-nan.csv: row 2, column density: "nan" is not a number; write one, without its unit`},
	{correctOf + "ok.csv d-lone.csv", "d-lone.csv: row 1, column density: is missing; keep to the columns ink, zone, density"},
	{correctOf + "ok.csv d-open.csv", "d-open.csv: row …: …; …"},
	{correctOf + "a_C.tif d.csv", "a_C.tif: this is no preset, but a TIFF; give a preset as bladeline wrote it"},
	{correctOf + "ok-off.csv d.csv", `ok-off.csv: ink "Cyan", zone 2, column ok_key: 101 is beyond …`},
	{correctOf + "ok-huge.csv d.csv", "ok-huge.csv: more than 16 MiB are too many; …"},

	{"measure -o nofolder/a.csv a_C.tif", "nofolder/a.csv: cannot be written: no such file or directory; make its folder first, or choose another place"},
	{"measure -o letter.txt/a.csv a_C.tif", "letter.txt/a.csv: cannot be written: not a directory; choose another place or free this one"},
	{"measure -o folder.csv a_C.tif", "folder.csv: cannot be written: is a folder; choose another place or free this one"},
	// The first file could be written; it is not, as the second cannot.
	{"measure -o old.csv -o nofolder/a.json a_C.tif", "nofolder/a.json: cannot be written: …; …"},
	{"measure -o old.csv a_C.tif old.csv", "old.csv: is read and would be overwritten; name another file"},
	{"measure -o ./old.csv Cyan=a_C.tif Black=old.csv", "./old.csv: is read and would be overwritten; name another file"},
}

// TestBadInput wants one line that says what is wrong and where, and nothing
// else: no result, no file, no change of a file that is there.
func TestBadInput(t *testing.T) {
	badFolder(t)
	for _, c := range badInputs {
		t.Run(c.line, func(t *testing.T) {
			args := strings.Fields(c.line)
			if args[0] != "press" && args[0] != "curve" && !strings.Contains(c.line, "-o") {
				args = append(args, "-o", "old.csv")
			}
			refused(t, args, c.want)
		})
	}
}

func refused(t *testing.T, args []string, want string) {
	before := folder(t)
	var stdout, stderr bytes.Buffer
	assert.Equal(t, statusFailed, run(args, strings.NewReader(""), &stdout, &stderr))
	assert.Empty(t, stdout.String())
	assert.NoError(t, oneMessage(stderr.String()))
	assert.Regexp(t, pattern("bladeline: "+want+"\n"), stderr.String())
	assert.Equal(t, before, folder(t), "files before and after")
}

// folder is every file below the working directory, with what it holds.
func folder(t *testing.T) map[string]string {
	files := map[string]string{}
	require.NoError(t, filepath.Walk(".", func(path string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		files[path] = string(data)
		return err
	}))
	return files
}

// TestControlCharacters keeps names from breaking the line or steering the
// terminal: newline, escape, carriage return, C1 and a line separator.
func TestControlCharacters(t *testing.T) {
	badFolder(t)
	const hostile = "Sand\n\x1b[31m\r\u009b\u2028red"
	for _, args := range [][]string{
		{"measure", hostile + ".tif"},
		{"preset", "--press", "six.press.toml", hostile + "=nodpi.tif"},
		{"preset", "--press", "six.press.toml", "--sweep", "5", hostile + "=a_C.tif"},
		{"press", "show", hostile + ".toml"},
	} {
		refused(t, args, `…Sand\n\x1b[31m\r\u009b\u2028red…`)
	}
}

// TestControlCharactersInResults: a table keeps its lines too. A preset, which
// other programs read, takes no such names.
func TestControlCharactersInResults(t *testing.T) {
	badFolder(t)
	const ink = "Sand\n\x1b[31mred"
	require.NoError(t, writePlate("dark.tif", "40x100", "10", "90"))
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"measure", ink + "=dark.tif"}, nil, &stdout, &stderr))
	assert.Contains(t, stdout.String(), "Sand  [31mred")
	assert.Equal(t, 2, strings.Count(stdout.String(), "\n"))
	assert.NoError(t, oneMessage(stderr.String()))
	refused(t, []string{"preset", "--press", "six.press.toml", ink + "=dark.tif"}, "…is not a single line of text; …")
	refused(t, []string{"preset", "--press", "six.press.toml", "--job", "Fair\x1b[2J", "dark.tif"}, "…is not a single line of text; …")
}

// pattern is a regular expression for a text in which "…" stands for any text
// of one line.
func pattern(text string) string {
	parts := strings.Split(text, "…")
	for i := range parts {
		parts[i] = regexp.QuoteMeta(parts[i])
	}
	return `\A` + strings.Join(parts, `.*`) + `\z`
}
