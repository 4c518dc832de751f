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
	regular = parsed(goregular.TTF)
	bold    = parsed(gobold.TTF)
)

func parsed(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the font is compiled in
	}
	return f
}

func fontOf(heavy bool) *sfnt.Font {
	if heavy {
		return bold
	}
	return regular
}

// widthMM is how long a text runs, without kerning, as both outputs set it.
func widthMM(s string, sizePT float64, heavy bool) float64 {
	const em = 1000
	var buffer sfnt.Buffer
	sum := fixed.Int26_6(0)
	for _, r := range s {
		glyph, _ := fontOf(heavy).GlyphIndex(&buffer, r)
		advance, _ := fontOf(heavy).GlyphAdvance(&buffer, glyph, fixed.I(em), 0)
		sum += advance
	}
	return float64(sum) / 64 / em * sizePT * mmPerPT
}

// unknownLetter stands for letters that the fonts lack: they hold Latin, Greek
// and Cyrillic.
const unknownLetter = '□'

// shown is a text that can be set: on one line, in letters that there are.
func shown(s string) string {
	var buffer sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if glyph, err := regular.GlyphIndex(&buffer, r); err != nil || glyph == 0 {
			return unknownLetter
		}
		return r
	}, s)
}

// cut is a text that is not longer than it may be, with an ellipsis where
// something was taken off.
func cut(s string, sizePT float64, heavy bool, mostMM float64) string {
	s = shown(s)
	if widthMM(s, sizePT, heavy) <= mostMM {
		return s
	}
	letters := []rune(s)
	for n := len(letters) - 1; n > 0; n-- {
		short := strings.TrimRight(string(letters[:n]), " ") + "…"
		if widthMM(short, sizePT, heavy) <= mostMM {
			return short
		}
	}
	return "…"
}

// wrap breaks a text into lines between words; a word longer than a line is cut.
func wrap(s string, sizePT float64, mostMM float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(shown(s)) {
		word = cut(word, sizePT, false, mostMM)
		longer := strings.TrimLeft(line+" "+word, " ")
		if line != "" && widthMM(longer, sizePT, false) > mostMM {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}

// widest is the length of the longest of some texts.
func widest(texts []string, sizePT float64, heavy bool) float64 {
	most := 0.0
	for _, s := range texts {
		most = max(most, widthMM(s, sizePT, heavy))
	}
	return most
}
