package settings

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What is shown of a text that somebody wrote, in letters: of one that is quoted,
// and of a place in a file or what a parser says of it. Files may hold any text,
// as long as they are.
const (
	mostQuoted = 40
	mostPlace  = 200
)

// Quoted is a text for a message: on one line, and not longer than that.
func Quoted(s string) string { return fmt.Sprintf("%q", short(s, mostQuoted)) }

// short is the beginning of a text that is longer than most letters.
func short(s string, most int) string {
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

// OneLine is a text that stands on one line in a file or message: control
// characters become spaces.
func OneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// IsLine tells whether a text stands in every output as it is: in UTF-8, and on
// one line. Nothing is a line too.
func IsLine(s string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, unicode.IsControl)
}

// Escaped is a text on one line for a terminal, with what cannot be seen, as it may stand
// in the name of a file, written as in a quoted one: \n, \x1b.
func Escaped(s string) string {
	var b strings.Builder
	for len(s) > 0 {
		r, size := utf8.DecodeRuneInString(s)
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[0])
		case unicode.IsGraphic(r):
			b.WriteString(s[:size])
		default:
			quoted := strconv.QuoteRune(r)
			b.WriteString(quoted[1 : len(quoted)-1])
		}
		s = s[size:]
	}
	return b.String()
}

// Printable is a text that breaks no line and steers no terminal: what is not
// graphic, as Unicode has it, becomes a space, control characters and marks of
// direction among them.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsGraphic(r) {
			return ' '
		}
		return r
	}, s)
}

// IsName tells whether a text can name something: a line, and not blank.
func IsName(s string) bool { return IsLine(s) && strings.TrimSpace(s) != "" }

// TOMLString is a text as a basic string of TOML 1.0, section String. Bytes that
// are not UTF-8 stay, and are refused where the file is read.
func TOMLString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for i, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case unicode.IsControl(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			_, size := utf8.DecodeRuneInString(s[i:])
			b.WriteString(s[i : i+size])
		}
	}
	b.WriteByte('"')
	return b.String()
}
