package ghostscript

import "bytes"

// mostOfLine is what is kept of a line: a file may have Ghostscript say anything.
const mostOfLine = 1000

// lines cuts what is written into lines, of which each is told.
type lines struct {
	each func(line string)
	line []byte
}

func (l *lines) Write(b []byte) (int, error) {
	n := len(b)
	for {
		text, rest, ended := bytes.Cut(b, []byte("\n"))
		l.line = append(l.line, text[:min(len(text), mostOfLine-len(l.line))]...)
		if !ended {
			return n, nil
		}
		l.flush()
		b = rest
	}
}

func (l *lines) flush() {
	if len(l.line) > 0 {
		l.each(string(bytes.TrimRight(l.line, "\r")))
	}
	l.line = l.line[:0]
}
