package sheet

import (
	"strings"
	"unicode"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// mmPerPT is a typographic point, 1/72 inch.
const mmPerPT = 25.4 / 72

// How far figures and letters reach above and below the baseline, in sizes of
// the type; measured on the two fonts in use.
const (
	ascent  = 0.76
	descent = 0.22
)

var (
	regularFont = parsed(goregular.TTF)
	boldFont    = parsed(gobold.TTF)
)

func parsed(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the font is compiled in
	}
	return f
}

func fontOf(bold bool) *sfnt.Font {
	if bold {
		return boldFont
	}
	return regularFont
}

// em is what letters are measured in, and steps are what is counted of it.
const (
	em    = 1000
	steps = 64 // fixed.Int26_6, of which a long text has more than that holds
)

// advance is how many steps wide a letter is.
func advance(buffer *sfnt.Buffer, r rune, bold bool) int64 {
	glyph, _ := fontOf(bold).GlyphIndex(buffer, r)
	wide, _ := fontOf(bold).GlyphAdvance(buffer, glyph, fixed.I(em), 0)
	return int64(wide)
}

// widthMM is how long a text runs, without kerning, as both outputs set it.
func widthMM(s string, sizePT float64, bold bool) float64 {
	var buffer sfnt.Buffer
	sum := int64(0)
	for _, r := range s {
		sum += advance(&buffer, r, bold)
	}
	return stepsMM(sum, sizePT)
}

func stepsMM(sum int64, sizePT float64) float64 {
	return float64(sum) / steps / em * sizePT * mmPerPT
}

// unknownLetter stands for letters that the fonts lack: they hold Latin, Greek
// and Cyrillic.
const unknownLetter = '□'

// shownLetter is a letter that can be set: on one line, and one that there is.
func shownLetter(buffer *sfnt.Buffer, r rune) rune {
	if unicode.IsSpace(r) {
		return ' '
	}
	if glyph, err := regularFont.GlyphIndex(buffer, r); err != nil || glyph == 0 {
		return unknownLetter
	}
	return r
}

// shown is a text that can be set.
func shown(s string) string {
	var buffer sfnt.Buffer
	return strings.Map(func(r rune) rune { return shownLetter(&buffer, r) }, s)
}

const ellipsis = '…'

// shortened is a text that is not longer than it may be, with an ellipsis where
// something was taken off. No more of it is looked at than there is place for.
func shortened(s string, sizePT float64, bold bool, mostMM float64) string {
	var buffer sfnt.Buffer
	var set strings.Builder
	kept, sum, dots := 0, int64(0), advance(&buffer, ellipsis, bold)
	for _, r := range s {
		r = shownLetter(&buffer, r)
		sum += advance(&buffer, r, bold)
		if stepsMM(sum, sizePT) > mostMM {
			return set.String()[:kept] + string(ellipsis)
		}
		set.WriteRune(r)
		if r != ' ' && stepsMM(sum+dots, sizePT) <= mostMM {
			kept = set.Len()
		}
	}
	return set.String()
}

// fitting is the size at which a bold text is not longer than it may be: the largest
// that it is wanted in, in half points, and not below the least.
func fitting(s string, wantedPT, leastPT, mostMM float64) float64 {
	for size := wantedPT; size > leastPT; size -= 0.5 {
		if widthMM(s, size, true) <= mostMM {
			return size
		}
	}
	return leastPT
}

// wrap breaks a text into lines between words, as many as may be looked at; a
// word longer than a line is shortened.
func wrap(s string, sizePT float64, mostMM float64, most int) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(s) {
		if len(lines) >= most {
			return lines
		}
		word = shortened(word, sizePT, false, mostMM)
		longer := strings.TrimLeft(line+" "+word, " ")
		if line != "" && widthMM(longer, sizePT, false) > mostMM {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}

// widest is the length of the longest of some texts.
func widest(texts []string, sizePT float64, bold bool) float64 {
	most := 0.0
	for _, s := range texts {
		most = max(most, widthMM(s, sizePT, bold))
	}
	return most
}
