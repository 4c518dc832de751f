package job

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"bladeline/zones/sheet"
)

// FormatOf is the format that the ending of a file's name names, in small letters
// and without its dot.
func FormatOf(path string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
}

// NotAnInput refuses to write over what is to be read.
func NotAnInput(path string, inputs []string) error {
	out, err := os.Stat(path)
	if err != nil || !out.Mode().IsRegular() {
		return nil
	}
	for _, input := range inputs {
		if in, err := os.Stat(input); err == nil && os.SameFile(in, out) {
			return fmt.Errorf("%s: is read and would be overwritten; name another file", path)
		}
	}
	return nil
}

// PageFiles are the files of pages that are each of an ink: one PDF, or an SVG a page,
// each with the ink behind its name where there are several.
func PageFiles(path string, inks []string, pages []*sheet.Page) []File {
	if FormatOf(path) == "pdf" {
		return []File{{path, func(w io.Writer) error { return sheet.WritePDF(w, pages) }}}
	}
	var files []File
	taken := map[string]bool{}
	for i, page := range pages {
		name := path
		if len(pages) > 1 {
			ending := filepath.Ext(path)
			name = strings.TrimSuffix(path, ending) + "-" + fileWord(inks[i]) + ending
			if taken[strings.ToLower(name)] {
				name = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, ending), i+1, ending)
			}
			taken[strings.ToLower(name)] = true
		}
		files = append(files, File{name, func(w io.Writer) error { return sheet.WriteSVG(w, page) }})
	}
	return files
}

// fileWord is a name with what some systems do not let stand in a file's name
// taken out.
func fileWord(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune(`/\:*?"<>|`, r):
			return '_'
		case !unicode.IsGraphic(r):
			return ' '
		}
		return r
	}, s)
}
