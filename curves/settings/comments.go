package settings

import (
	"bytes"
	"slices"
	"strings"
)

// RemoveComments takes out what is said of a key, named by its path, where goes
// says so: the comment behind it on its line, and the lines of comment directly
// above it, taken as one. All else stays byte for byte.
func RemoveComments(data []byte, goes func(comment string) bool, path ...string) []byte {
	at, _ := findValue(data, path...)
	if at.to == 0 {
		return data
	}
	end := at.to + lineLength(data[at.to:])
	if behind := bytes.TrimSpace(data[at.to:end]); bytes.HasPrefix(behind, []byte("#")) && goes(string(behind)) {
		data = spliced(data, span{at.to, at.to + len(bytes.TrimRight(data[at.to:end], "\r"))}, "")
	}
	line := lineStart(data, at.from)
	above := span{line, line}
	for above.from > 0 && isComment(data[lineStart(data, above.from-1):above.from]) {
		above.from = lineStart(data, above.from-1)
	}
	if above.from < above.to && goes(string(data[above.from:above.to])) {
		data = spliced(data, above, "")
	}
	return data
}

// RemoveHead takes out the first paragraph of the comment that a file begins
// with, which says what the file is of, with the empty lines behind it.
func RemoveHead(data []byte) []byte {
	body, from := afterMark(data)
	to, said := 0, false
	for to < len(body) {
		end := min(to+lineLength(body[to:])+1, len(body))
		text := strings.TrimSpace(string(body[to:end]))
		empty := strings.Trim(text, "#") == ""
		if !empty && (said && blankBefore(body, to) || !strings.HasPrefix(text, "#")) {
			break
		}
		said = said || !empty
		to = end
	}
	if !said {
		return data
	}
	return slices.Concat(data[:from], body[to:])
}

// blankBefore tells whether the line before a place says nothing.
func blankBefore(text []byte, at int) bool {
	return len(bytes.Trim(text[lineStart(text, at-1):at], "# \t\r\n")) == 0
}

func isComment(line []byte) bool { return bytes.HasPrefix(bytes.TrimSpace(line), []byte("#")) }

// lineStart is where the line begins that a place is on.
func lineStart(text []byte, at int) int { return bytes.LastIndexByte(text[:at], '\n') + 1 }

// lineLength is how much of a text its first line is, without its end.
func lineLength(text []byte) int {
	if n := bytes.IndexByte(text, '\n'); n >= 0 {
		return n
	}
	return len(text)
}
