package coverage

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"unicode"

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

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
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
// job_C.tif, job-cyan.tif; else the whole base name is the ink.
func InkFromName(path string) string {
	base := Stem(path)
	for _, ending := range []*regexp.Regexp{inParentheses, behindDot, behindDash} {
		found := ending.FindStringSubmatch(base)
		if found == nil {
			continue
		}
		ink := strings.TrimSpace(found[1])
		if name, ok := letters[strings.ToUpper(ink)]; ok {
			return name
		}
		for _, name := range letters {
			if strings.EqualFold(ink, name) {
				return name
			}
		}
		if ending != behindDash {
			return ink
		}
	}
	return base
}

// invertedPct is the mean coverage above which a separation looks inverted.
// Common practice: few plates are inked on more than 85 % of their area.
const invertedPct = 85

// doubt notes what looks wrong with a measured separation, of which the light
// part was taken for ink or the dark one.
func (m *Map) doubt(inkIsLight bool) {
	if pct := m.CoveragePct(); pct > invertedPct {
		m.Warnings = append(m.Warnings, Warning{
			Code: CodePolarity, CoveragePct: pct, InkIsLight: inkIsLight,
			Text: fmt.Sprintf("%.1f %% of the raster is ink, so it may be inverted", pct),
		})
	}
}

// JobName is what the names of all Maps' files begin with, on one line.
func JobName(maps []*Map) string {
	if len(maps) == 0 {
		return ""
	}
	name := Stem(maps[0].File)
	for _, m := range maps[1:] {
		other := Stem(m.File)
		for !strings.HasPrefix(other, name) {
			name = name[:len(name)-1]
		}
	}
	if ink := inParentheses.FindStringSubmatchIndex(name); ink != nil && len(maps) == 1 {
		name = name[:ink[2]-1]
	}
	name = strings.Map(blankUnseen, strings.ToValidUTF8(name, ""))
	name = strings.TrimRightFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if name == "" {
		return Stem(maps[0].File)
	}
	return name
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
