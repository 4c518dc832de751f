package settings

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
)

// maxTOML is far above any press or curve, and far below what would exhaust
// the stack of a recursive parser.
const maxTOML = 1 << 20

// Decode reads a file of settings into the struct that v points at. A key
// that the struct does not have is an error, as it would be a setting that is
// silently not obeyed. Errors are of type *FileError, with line and column.
func Decode(file string, data []byte, v any) error {
	if len(data) > maxTOML {
		return &FileError{File: file, What: "more than 1 MiB is too much for a file of settings", Do: "check that this is the file you meant"}
	}
	if !utf8.Valid(data) {
		return &FileError{File: file, Place: notText(data), What: "this is no text in UTF-8", Do: "check that this is the file you meant, and save it as text in UTF-8"}
	}
	// An editor's byte order mark is tolerated; the column still counts from
	// the first letter.
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) {
		return &FileError{File: file, What: "this is JSON, and files of settings are TOML", Do: "check that this is the file you meant"}
	}
	err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(v)
	var unknown *toml.StrictMissingError
	var wrong *toml.DecodeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &unknown):
		return unknownKey(file, &unknown.Errors[0], v)
	case errors.As(err, &wrong):
		line, _ := wrong.Position()
		what, do := cureOfValue(data, line, strings.Contains(wrong.Error(), "[]") && !strings.Contains(wrong.Error(), "[][]"))
		switch {
		case what == "" && isFraction(wrong):
			what, do = wholeNumber(wrong), "write it without a fraction"
		case what == "":
			what, do = short(plainMessage(wrong), mostPlace), "correct this line"
		default:
			do += wholeBeside(data, line, v)
		}
		return &FileError{File: file, Place: position(wrong), What: what, Do: do}
	}
	return &FileError{File: file, What: short(strings.TrimPrefix(err.Error(), "toml: "), mostPlace), Do: "correct the file"}
}

// notText is the place where data is no text in UTF-8.
func notText(data []byte) string {
	line, column := 1, 1
	for len(data) > 0 {
		r, size := utf8.DecodeRune(data)
		if r == utf8.RuneError && size == 1 {
			break
		}
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
		data = data[size:]
	}
	return fmt.Sprintf("line %d, column %d", line, column)
}

func position(e *toml.DecodeError) string {
	line, column := e.Position()
	return fmt.Sprintf("line %d, column %d", line, column)
}

func unknownKey(file string, e *toml.DecodeError, v any) error {
	key := e.Key()
	parents, name := key[:len(key)-1], key[len(key)-1]
	do := "remove or correct it"
	if known := Nearest(name, knownKeys(reflect.TypeOf(v), parents)); known != "" {
		do = fmt.Sprintf("did you mean %q?", known)
	}
	return &FileError{File: file, Place: position(e), What: fmt.Sprintf("unknown key %q", short(strings.Join(key, "."), mostPlace)), Do: do}
}

// knownKeys lists the keys of the table that the path leads to.
func knownKeys(t reflect.Type, path []string) []string {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Map || t.Kind() == reflect.Slice {
		if t.Kind() == reflect.Map && len(path) > 0 {
			path = path[1:]
		}
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	var keys []string
	for f := range t.Fields() {
		key := f.Tag.Get("toml")
		if len(path) > 0 && key == path[0] {
			return knownKeys(f.Type, path[1:])
		}
		keys = append(keys, key)
	}
	if len(path) > 0 {
		return nil
	}
	return keys
}

// Nearest is the known name that differs by no more than two letters, be they capitals
// or not; empty where none does.
func Nearest(name string, known []string) string {
	best, least := "", 3
	for _, k := range known {
		if d := distance(strings.ToLower(name), strings.ToLower(k)); d < least && d < len(k) {
			best, least = k, d
		}
	}
	return best
}

// distance counts the letters to insert, delete or replace to make b of a
// (Levenshtein).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replaced := diagonal
			if a[i] != b[j] {
				replaced++
			}
			diagonal = row[j+1]
			row[j+1] = min(replaced, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}

// isFraction tells whether a number with a fraction stands where a whole one belongs.
func isFraction(e *toml.DecodeError) bool {
	m := mismatch.FindStringSubmatch(strings.TrimPrefix(e.Error(), "toml: "))
	return m != nil && m[1] == "float"
}

func wholeNumber(e *toml.DecodeError) string {
	return short(strings.Join(e.Key(), "."), mostQuoted) + " is a whole number"
}

// wholeBeside says that the value on a line, once it is written with a point, is still none
// that its key takes; "" where it is one.
func wholeBeside(data []byte, line int, v any) string {
	lines := strings.Split(string(data), "\n")
	before, value, _ := strings.Cut(lines[line-1], "=")
	value, _, _ = strings.Cut(value, "#")
	lines[line-1] = before + "= " + written(strings.TrimSpace(value))
	again := toml.NewDecoder(strings.NewReader(strings.Join(lines, "\n"))).Decode(reflect.New(reflect.TypeOf(v).Elem()).Interface())
	var wrong *toml.DecodeError
	if errors.As(again, &wrong) && isFraction(wrong) {
		if at, _ := wrong.Position(); at == line {
			return "; " + wholeNumber(wrong)
		}
	}
	return ""
}

var mismatch = regexp.MustCompile(`^cannot (?:decode TOML|store an?) (.+?) in`)

// plainMessage puts the decoder's message in words of the file, not of Go.
func plainMessage(e *toml.DecodeError) string {
	text := strings.TrimPrefix(e.Error(), "toml: ")
	if m := mismatch.FindStringSubmatch(text); m != nil {
		return fmt.Sprintf("%s cannot be %s %s", short(strings.Join(e.Key(), "."), mostQuoted), article(m[1]), m[1])
	}
	return text
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an"
	}
	return "a"
}
