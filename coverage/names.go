package coverage

import (
	"cmp"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/coverage/internal/raster"
)

// name gives every Map its ink: from the options, else from the file's own
// tags, which are already in place, else from the file's name.
func (f *File) name(maps []*Map, o Options) error {
	if o.Inks != nil {
		if len(o.Inks) != len(maps) {
			return &InkCountError{f.path, len(o.Inks), len(maps)}
		}
		for i, m := range maps {
			m.Ink = o.Inks[i]
		}
		return nil
	}
	ink := raster.Name(InkFromName(f.path))
	for _, m := range maps {
		switch {
		case m.Ink != "":
		case len(maps) == 1:
			m.Ink = ink
		case maps[len(maps)-1].Page == 1:
			m.Ink = fmt.Sprintf("%s %d", ink, m.Channel)
		case m.title != "":
			m.Ink = m.title
		default:
			m.Ink = fmt.Sprintf("%s page %d", ink, m.Page)
		}
	}
	return nil
}

var (
	inParentheses = regexp.MustCompile(`\(([^()]+)\)$`)
	behindDot     = regexp.MustCompile(`\.([^.]*[^.0-9][^.]*)$`)
	behindDash    = regexp.MustCompile(`[_-]([CMYKcmyk]|[A-Za-z]{3,})$`)
)

// letters are the inks that file names give by one letter.
var letters = map[string]string{"C": "Cyan", "M": "Magenta", "Y": "Yellow", "K": "Black"}

// InkFromName reads the ink off the ending of a file's name, as programs that
// write separations put it there: job(Black).tif, job.Harbour Red.tif,
// job_C.tif, job-cyan.tif, or alone: K.tif; else the whole base name is the ink.
func InkFromName(path string) string {
	_, ink := NameParts(path)
	return cmp.Or(ink, strings.TrimSpace(Stem(path)), Stem(path))
}

// ProcessInk is the ink of the process that a file's name gives by its letter or
// name, whatever its capitals.
func ProcessInk(text string) (name string, is bool) {
	if name, is := letters[strings.ToUpper(text)]; is {
		return name, true
	}
	for _, name := range letters {
		if strings.EqualFold(text, name) {
			return name, true
		}
	}
	return "", false
}

// inkIn is the ink at the end of a name, and where its ending begins: at the end
// of the name where it has none.
func inkIn(stem string) (ink string, at int) {
	for _, ending := range []*regexp.Regexp{inParentheses, behindDot, behindDash} {
		found := ending.FindStringSubmatchIndex(stem)
		if found == nil {
			continue
		}
		ink := strings.TrimSpace(stem[found[2]:found[3]])
		if name, is := ProcessInk(ink); is {
			return name, found[0]
		}
		if ending != behindDash {
			return ink, found[0]
		}
	}
	return "", len(stem)
}

// NameParts takes the name of a separation's file apart into the job and the ink
// that programs put there. Where it names an ink alone, as Cyan.tif, the job is "";
// where it names none as InkFromName knows them, the ink is "".
func NameParts(path string) (job, ink string) {
	stem := Stem(path)
	if ink, at := inkIn(stem); at < len(stem) {
		return tidied(stem[:at]), ink
	}
	if ink, at := inkIn("_" + stem); at == 0 { // a process ink
		return "", ink
	}
	return cmp.Or(tidied(stem), stem), ""
}

// JobName is what the names of all Maps' files begin with, on one line, in whole
// words and without the inks. Files that share no word are named by the first.
func JobName(maps []*Map) string {
	if len(maps) == 0 {
		return ""
	}
	first := jobIn(maps[0])
	shared := first
	for _, m := range maps[1:] {
		shared = sharedWords(shared, jobIn(m))
	}
	return cmp.Or(tidied(shared), tidied(first), Stem(maps[0].File))
}

// jobIn is the part of a separation's file name that comes before its ink.
func jobIn(m *Map) string {
	stem := Stem(m.File)
	if _, at := inkIn(stem); at < len(stem) {
		return stem[:at]
	}
	before := len(stem) - len(m.Ink)
	if m.Ink != "" && before > 0 && strings.EqualFold(stem[before:], m.Ink) && wordEnds(stem, before) {
		return stem[:before]
	}
	return stem
}

// sharedWords is what two names begin with, up to where a word ends in both.
func sharedWords(a, b string) string {
	at := 0
	for i := range len(a) + 1 {
		if i > len(b) || a[:i] != b[:i] {
			break
		}
		if wordEnds(a, i) && wordEnds(b, i) {
			at = i
		}
	}
	return a[:at]
}

// wordEnds tells whether no word of a name, nor a number, runs on over a place
// in it: one ends at a sign, at its last digit or letter, and before a capital.
func wordEnds(name string, at int) bool {
	if at < len(name) && !utf8.RuneStart(name[at]) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(name[:at])
	after, _ := utf8.DecodeRuneInString(name[at:])
	switch {
	case !isWord(before) || !isWord(after):
		return true
	case unicode.IsDigit(before) || unicode.IsDigit(after):
		return unicode.IsDigit(before) != unicode.IsDigit(after)
	}
	return unicode.IsLower(before) && unicode.IsUpper(after)
}

func isWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r))
}

// tidied is a name on one line, without what parted it from the ink.
func tidied(name string) string {
	name = strings.Map(blankUnseen, strings.ToValidUTF8(name, ""))
	return strings.TrimRightFunc(name, func(r rune) bool { return !isWord(r) })
}

// Stem is a file's name without folder and ending.
func Stem(path string) string {
	base := filepath.Base(path)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

func blankUnseen(r rune) rune {
	if !unicode.IsGraphic(r) {
		return ' '
	}
	return r
}
