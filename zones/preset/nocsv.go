package preset

import (
	"bytes"
	"unicode"
	"unicode/utf8"

	"bladeline/curves/settings"
)

// fileKinds are files that are taken for a CSV by mistake, by their first bytes. Sources:
// ZIP, APPNOTE 6.3.10, 4.3.7; compound files, MS-CFB 2.2; PDF, ISO 32000-1, 7.5.2;
// PostScript, PLRM 3, G.1; PNG 5.2; TIFF 6.0, section 2; gzip, RFC 1952, 2.3.1.
var fileKinds = []struct{ begins, is, do string }{
	{"PK\x03\x04", "a spreadsheet (.xlsx, .ods) or a ZIP archive", fromSpreadsheet},
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a spreadsheet (.xls)", fromSpreadsheet},
	{"%PDF-", "a PDF", nameCSV},
	{"%!PS", "PostScript", nameCSV},
	{"\x89PNG\r\n", "a PNG", nameCSV},
	{"II*\x00", "a TIFF", nameCSV},
	{"MM\x00*", "a TIFF", nameCSV},
	{"\x1f\x8b", "compressed by gzip", "unpack it"},
}

const (
	fromSpreadsheet = "open it there and save it as CSV in UTF-8"
	nameCSV         = "name a CSV file"
)

// kindOf says what a file is by its first bytes, and what to do with it; "" is not known.
func kindOf(data []byte) (is, do string) {
	for _, k := range fileKinds {
		if bytes.HasPrefix(data, []byte(k.begins)) {
			return k.is, k.do
		}
	}
	return "", ""
}

// noCSV refuses what is no text at all, and says what it looks like.
func noCSV(file string, data []byte) error {
	if is, do := kindOf(data); is != "" {
		return &settings.FileError{File: file, What: "this is no CSV file, but " + is, Do: do}
	}
	if !utf8.Valid(data) && bytes.ContainsFunc(data, func(r rune) bool { return unicode.Is(unicode.Cc, r) && !unicode.IsSpace(r) }) {
		return &settings.FileError{File: file, What: "this is no CSV file, nor any text", Do: "check that this is the file you meant"}
	}
	return nil
}
