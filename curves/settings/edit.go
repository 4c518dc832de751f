package settings

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// SetValue gives a key of a TOML file, named by its path, in which TableOf
// names one of a list of tables, another value, which
// is TOML itself. Where its table lacks the key it is added: behind the table's
// header with a comment that follows the value, or as the last of an inline table,
// which has no place for one. Comments and order stay, all else byte for byte.
// Whether the value suits the file is the caller's to check. Errors are of type
// *FileError.
func SetValue(file string, data []byte, value string, path ...string) ([]byte, error) {
	if len(path) == 0 {
		return nil, &FileError{File: file, What: "no key is named", Do: "name one"}
	}
	if at, _ := findValue(data, path...); at.to > 0 {
		return spliced(data, at, value), nil
	}
	table, key := path[:len(path)-1], path[len(path)-1]
	if at, node := findValue(data, table...); isInline(node) {
		return spliced(data, at, withKey(data, at, node, TOMLKey(key)+" = "+uncommented(value))), nil
	}
	at := headerEnd(data, table)
	if at == 0 {
		return nil, &FileError{File: file, Place: strings.Join(path, "."), What: "has no line of its own", Do: "write one: " + TOMLKey(key) + " = …"}
	}
	return slices.Insert(slices.Clone(data), at, []byte(TOMLKey(key)+" = "+value+lineEnd(data))...), nil
}

// withKey is an inline table of a text with a key more.
func withKey(data []byte, at span, table *unstable.Node, line string) string {
	text := string(data[at.from:at.to])
	if it := table.Children(); !it.Next() {
		return "{ " + line + " " + strings.TrimLeft(text[1:], " \t")
	}
	_, skipped := afterMark(data)
	end := 0
	for it := table.Children(); it.Next(); {
		raw := it.Node().Raw
		end = skipped + int(raw.Offset+raw.Length) - at.from
	}
	return text[:end] + ", " + line + text[end:]
}

// uncommented is a value without what follows it; what is no value stays, as
// SetValue leaves that to its caller.
func uncommented(value string) string {
	line := []byte("key = " + value)
	at, node := findValue(line, "key")
	if node == nil {
		return value
	}
	return string(line[at.from:at.to])
}

// SetNumbers is SetValue of a list of numbers. Where as many stand there
// already each takes the place of one, and comments between them stay.
func SetNumbers(file string, data []byte, values []float64, path ...string) ([]byte, error) {
	at, array := findValue(data, path...)
	var places []span
	list := isNumbers(array)
	if list {
		places = numbersIn(data, at)
	}
	if !list || len(places) != len(values) {
		return SetValue(file, data, "["+Numbers(values)+"]", path...)
	}
	for i := len(places) - 1; i >= 0; i-- { // from the end, so that the places before it hold
		data = spliced(data, places[i], Number(values[i]))
	}
	return data, nil
}

// numbersIn are the places of the numbers in an array of nothing else.
func numbersIn(data []byte, array span) []span {
	const between = "[], \t\r\n"
	var places []span
	for i := array.from; i < array.to; i++ {
		switch c := data[i]; {
		case c == '#':
			i += bytes.IndexByte(data[i:], '\n')
		case !strings.ContainsRune(between, rune(c)):
			places = append(places, span{i, i + bytes.IndexAny(data[i:], between+"#")})
			i = places[len(places)-1].to - 1
		}
	}
	return places
}

// TOMLKey is a key as it is written: bare, as most are, or quoted.
func TOMLKey(key string) string {
	if key != "" && strings.Trim(key, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-") == "" {
		return key
	}
	return TOMLString(key)
}

// lineEnd is the one that a text has.
func lineEnd(data []byte) string {
	if bytes.Contains(data, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

// isNumbers tells whether a value is an array of numbers alone.
func isNumbers(node *unstable.Node) bool { return isArrayOf(node, isNumber) }

func isInline(node *unstable.Node) bool { return node != nil && node.Kind == unstable.InlineTable }

func isNumber(node *unstable.Node) bool {
	return node.Kind == unstable.Integer || node.Kind == unstable.Float
}

func isArrayOf(node *unstable.Node, is func(*unstable.Node) bool) bool {
	if node == nil || node.Kind != unstable.Array {
		return false
	}
	for it := node.Children(); it.Next(); {
		if !is(it.Node()) {
			return false
		}
	}
	return true
}

// findValue finds the value of a key by its path, in inline tables, too: where it
// stands and what it is. What is no TOML is not found: nil, at no place.
func findValue(data []byte, path ...string) (span, *unstable.Node) {
	body, skipped := afterMark(data)
	var p unstable.Parser
	p.Reset(body)
	var table []string
	lists := lists{}
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind != unstable.KeyValue {
			table = lists.table(e)
			continue
		}
		if len(path) < len(table) || !slices.Equal(table, path[:len(table)]) {
			continue
		}
		if at, value := valueIn(body, e, path[len(table):]); value != nil {
			return span{skipped + at.from, skipped + at.to}, value
		}
	}
	return span{}, nil
}

// valueIn finds the value at a path where that is a key's own, or one within its
// inline table.
func valueIn(body []byte, e *unstable.Node, path []string) (span, *unstable.Node) {
	key, end := keyOf(e)
	if len(path) < len(key) || !slices.Equal(key, path[:len(key)]) {
		return span{}, nil
	}
	if path = path[len(key):]; len(path) == 0 {
		from := end + bytes.IndexByte(body[end:], '=') + 1
		from += len(body[from:]) - len(bytes.TrimLeft(body[from:], " \t"))
		return span{from, int(e.Raw.Offset + e.Raw.Length)}, e.Value()
	}
	if isInline(e.Value()) {
		for it := e.Value().Children(); it.Next(); {
			if at, value := valueIn(body, it.Node(), path); value != nil {
				return at, value
			}
		}
	}
	return span{}, nil
}

// headerEnd is where the line below a table's header begins; 0 where there is
// no such table.
func headerEnd(data []byte, table []string) int {
	body, skipped := afterMark(data)
	var p unstable.Parser
	p.Reset(body)
	lists := lists{}
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind == unstable.KeyValue || !slices.Equal(lists.table(e), table) {
			continue
		}
		_, end := keyOf(e)
		if newline := bytes.IndexByte(body[end:], '\n'); newline >= 0 {
			return skipped + end + newline + 1
		}
	}
	return 0
}

// TableOf is the part of a path that stands for one table of a list of tables, as
// [[units]], counted from 0.
func TableOf(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// lists counts the tables of each list of tables while a text is read.
type lists map[string]int

// table is the path of a header's table.
func (l lists) table(e *unstable.Node) []string {
	path, _ := keyOf(e)
	if e.Kind == unstable.ArrayTable && len(path) == 1 {
		l[path[0]]++
	}
	if n, isList := l[path[0]]; isList {
		path[0] = TableOf(path[0], n-1)
	}
	return path
}

// keyOf is the path of an expression's key, and where its last part ends.
func keyOf(e *unstable.Node) (path []string, end int) {
	for it := e.Key(); it.Next(); {
		k := it.Node()
		path = append(path, string(k.Data))
		end = int(k.Raw.Offset + k.Raw.Length)
	}
	return path, end
}

// afterMark is a text behind an editor's byte order mark.
func afterMark(data []byte) (body []byte, skipped int) {
	body = bytes.TrimPrefix(data, []byte("\ufeff"))
	return body, len(data) - len(body)
}
