package job

import (
	"fmt"
	"strings"
	"unicode"
)

// mostOfName bounds, in bytes, what of an ink's name stands in a file's: systems
// take names of 255.
const mostOfName = 150

// distinctName is the name of a separation's file, another than those taken, also
// where the system does not tell capitals from small letters.
func distinctName(taken map[string]bool, stem, ink string) string {
	ink = fileSafe(ink)
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s(%s).tif", stem, ink)
		if n > 1 {
			name = fmt.Sprintf("%s(%s %d).tif", stem, ink, n)
		}
		if key := strings.ToLower(name); !taken[key] {
			taken[key] = true
			return name
		}
	}
}

// fileSafe is the name of an ink with what some system takes in no file name, or
// the reading of names takes for something else, as %XX. The whole name stands in
// the file.
func fileSafe(ink string) string {
	var safe strings.Builder
	for _, r := range ink {
		part := string(r)
		if !unicode.IsGraphic(r) || strings.ContainsRune(`/\:*?"<>|%()=`, r) {
			part = ""
			for _, b := range []byte(string(r)) {
				part += fmt.Sprintf("%%%02X", b)
			}
		}
		if safe.Len()+len(part) > mostOfName {
			break
		}
		safe.WriteString(part)
	}
	if strings.TrimSpace(safe.String()) == "" {
		return "unnamed"
	}
	return safe.String()
}
