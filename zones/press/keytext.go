package press

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"bladeline/curves/settings"
)

var keyPattern = regexp.MustCompile(`^([+-]?)(?:(\d{1,9}(?:\.\d{1,18})?|\.\d{1,18})|(?:(\d{1,9})(?: +|-| - ))?(\d{1,9})/(\d{1,9}))$`)

// ParseKey reads a key's setting: 37, 1.375, .375, 3/8 or 1 3/8, each with or
// without a sign; also 1-3/8, and 1⅜ in the one letter that some spreadsheets and
// telephones make of it.
func ParseKey(text string) (float64, error) {
	if v, is := quickKey(text); is {
		return v, nil
	}
	return parseKey(text)
}

// quickKey reads what nearly all settings are, of which a shop's history has
// thousands: a few figures, with a point or a fraction. It is false of all others.
func quickKey(text string) (v float64, is bool) {
	if len(text) > 9 {
		return 0, false
	}
	whole, rest := figures(text)
	switch {
	case len(rest) == 0:
		return float64(whole), len(text) > 0
	case rest[0] == '.':
		if _, end := figures(rest[1:]); len(end) > 0 || len(rest) == 1 {
			return 0, false
		}
		v, err := strconv.ParseFloat(text, 64)
		return v, err == nil
	case len(rest) == len(text):
		return 0, false
	}
	parts, fraction := whole, rest
	if rest[0] == ' ' {
		parts, fraction = figures(rest[1:])
		if len(fraction) == len(rest)-1 {
			return 0, false
		}
	} else {
		whole = 0
	}
	if len(fraction) < 2 || fraction[0] != '/' {
		return 0, false
	}
	of, end := figures(fraction[1:])
	return float64(whole) + float64(parts)/float64(of), len(end) == 0 && of > 0
}

// figures are the digits that a text begins with, and what follows them.
func figures(text string) (n int, rest string) {
	for text != "" && '0' <= text[0] && text[0] <= '9' {
		n, text = 10*n+int(text[0]-'0'), text[1:]
	}
	return n, text
}

// parseKey is ParseKey of any text.
func parseKey(text string) (float64, error) {
	m := keyPattern.FindStringSubmatch(plainKey(text))
	if m == nil {
		return 0, fmt.Errorf("%s is not a key setting; write it like 37, 1.375 or 1 3/8", settings.Quoted(text))
	}
	number := func(i int) float64 {
		v, _ := strconv.ParseFloat("0"+m[i], 64) // the pattern lets digits and a point through
		return v
	}
	v := number(2)
	if m[5] != "" {
		if number(5) == 0 {
			return 0, fmt.Errorf("%s divides by 0; write it like 37, 1.375 or 1 3/8", settings.Quoted(text))
		}
		v = number(3) + number(4)/number(5)
	}
	if m[1] == "-" && v != 0 {
		v = -v
	}
	return v, nil
}

// vulgar are the fractions that Unicode has a letter for.
var vulgar = map[rune]string{
	'¼': "1/4", '½': "1/2", '¾': "3/4", '⅐': "1/7", '⅑': "1/9", '⅒': "1/10", '⅓': "1/3", '⅔': "2/3",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
	'⅟': "1/", '↉': "0/3",
}

// plainKey is a key's text in figures, points, slashes, hyphens and blanks.
func plainKey(text string) string {
	var b strings.Builder
	for _, r := range strings.TrimSpace(text) {
		switch {
		case vulgar[r] != "":
			if b.Len() > 0 && !strings.ContainsAny(b.String()[b.Len()-1:], "+-") {
				b.WriteByte(' ') // between a whole number and its fraction
			}
			b.WriteString(vulgar[r])
		case r == '⁄' || r == '∕':
			b.WriteByte('/')
		case IsDash(r):
			b.WriteByte('-')
		case r == '\u00a0' || r == '\u2007' || r == '\u2009' || r == '\u202f':
			b.WriteByte(' ') // blanks that do not break a line
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// IsDash tells a hyphen, a dash of any length or a minus.
func IsDash(r rune) bool { return r == '−' || unicode.Is(unicode.Pd, r) }
