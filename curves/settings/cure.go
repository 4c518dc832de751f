package settings

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// What people write for a number or a text, and TOML takes for neither.
var (
	commaNumber   = regexp.MustCompile(`^"?([+-]?\d+),(\d+)"?$`)
	fractionText  = regexp.MustCompile(`^"?([+-]?)(?:(\d{1,9})[ -])?(\d{1,9})/(\d{1,9})"?$`)
	fractionIn    = regexp.MustCompile(`(?:\d{1,9} )?\d{1,9}/\d{1,9}`)
	pointNumber   = regexp.MustCompile(`^([+-]?)(\.\d+)$`)
	numberAndUnit = regexp.MustCompile(`^([+-]?\d+(?:\.\d+)?) *(?:%|[A-Za-z]+)$`)
	bareWord      = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)
)

// written is what to write in place of a value as it stands in a file: "" where
// that cannot be told.
func written(value string) string {
	if m := commaNumber.FindStringSubmatch(value); m != nil {
		return m[1] + "." + m[2]
	}
	if m := pointNumber.FindStringSubmatch(value); m != nil {
		return m[1] + "0" + m[2]
	}
	if m := numberAndUnit.FindStringSubmatch(value); m != nil {
		return m[1]
	}
	if fractionText.MatchString(value) {
		return decimalOf(value)
	}
	if strings.HasPrefix(value, "[") && fractionIn.MatchString(value) {
		return fractionIn.ReplaceAllStringFunc(value, decimalOf)
	}
	if bareWord.MatchString(value) && value != "true" && value != "false" {
		return TOMLString(value)
	}
	return ""
}

// decimalOf is a fraction, as 1 3/8, in decimals; itself where it divides by 0.
func decimalOf(fraction string) string {
	m := fractionText.FindStringSubmatch(fraction)
	whole, _ := strconv.ParseFloat("0"+m[2], 64) // the pattern lets digits through
	above, _ := strconv.ParseFloat(m[3], 64)
	below, _ := strconv.ParseFloat(m[4], 64)
	if below == 0 {
		return fraction
	}
	return m[1] + Number(whole+above/below)
}

// cureOfValue says what to write for the value on a line of a file that cannot be
// read; "" where that cannot be told. aList tells that a list belongs there.
func cureOfValue(data []byte, line int, aList bool) (what, do string) {
	lines := strings.Split(string(data), "\n")
	if line < 1 || line > len(lines) {
		return "", ""
	}
	_, value, _ := strings.Cut(lines[line-1], "=")
	value, _, _ = strings.Cut(value, "#")
	value = strings.TrimSpace(value)
	switch correct := written(value); {
	case commaNumber.MatchString(value):
		return fmt.Sprintf("%s is no value that can be read", short(value, mostQuoted)), "write numbers with a point: " + short(correct, mostPlace)
	case correct != "" && correct != value:
		return fmt.Sprintf("%s is no value that can be read", short(value, mostQuoted)), "write " + short(correct, mostPlace)
	case aList && isNumeral(value):
		return fmt.Sprintf("%s is a single number, and a list belongs here", value), fmt.Sprintf("write a list, as [%s, …]", value)
	}
	return "", ""
}

// isNumeral tells whether a text is a number as one writes it, with a decimal point.
func isNumeral(text string) bool { return plainNumber.MatchString(text) }

var plainNumber = regexp.MustCompile(`^[+-]?\d+(\.\d+)?([eE][+-]?\d+)?$`)

// commaTyped is a number whose comma can only be a decimal one: three digits behind
// it may be thousands, unless a 0 alone stands before.
var commaTyped = regexp.MustCompile(`^([+-]?)(\d+),(\d+)$`)

// Pointed is a number as it is typed with its decimal comma made a point, where it
// can be nothing else: 3,5 and 0,125, but not 1,000.
func Pointed(text string) string {
	m := commaTyped.FindStringSubmatch(text)
	if m == nil || len(m[3]) == 3 && strings.Trim(m[2], "0") != "" {
		return text
	}
	return m[1] + m[2] + "." + m[3]
}
