package hotfolder

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
)

// recordName is the file beside a job's outputs that says what they were made of. It
// takes its place after all of them: where it stands the job is done.
const recordName = ".bladeline-job.json"

// recordFormat is what a record says it is.
const recordFormat = "bladeline.watched/1"

// A record is what a job was made of.
type record struct {
	Format      string             `json:"format"`
	Job         string             `json:"job"`
	Files       []recordFile       `json:"files"`
	Separations []recordSeparation `json:"separations"`
	Version     int                `json:"version"` // in the outputs' names from 2 on
}

type recordFile struct {
	Name string    `json:"name"` // from the folder on that was watched; bytes that are not UTF-8 as %XX
	Size int64     `json:"size"`
	Time time.Time `json:"time"`
}

type recordSeparation struct {
	Ink  string `json:"ink"`
	Hash string `json:"hash"` // SHA-256 of the Map
}

// recordOf is a record of files and of what was measured in them.
func recordOf(name string, files []file, maps []*coverage.Map, version int) *record {
	r := &record{Format: recordFormat, Job: name, Version: version, Separations: []recordSeparation{}}
	for _, f := range files {
		r.Files = append(r.Files, f.recorded())
	}
	for _, m := range maps {
		hash := m.Hash()
		r.Separations = append(r.Separations, recordSeparation{m.Ink, hex.EncodeToString(hash[:])})
	}
	return r
}

func (f file) recorded() recordFile {
	return recordFile{strings.ToValidUTF8(escaped(f.name, ""), ""), f.size, f.time.UTC()}
}

// loadRecord reads a record, nil where there is none; what is damaged is none.
func loadRecord(folder, name string) (*record, error) {
	data, err := os.ReadFile(filepath.Join(folder, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, &job.UnwrittenError{Path: folder, Err: err}
	}
	var r record
	if json.Unmarshal(data, &r) != nil || r.Format != recordFormat {
		return nil, nil
	}
	return &r, nil
}

// covers tells whether files are those of the record, or what is left of them: who
// removes files of a job that is done, or moves them one by one, asks for nothing.
func (r *record) covers(files []file) bool {
	return r != nil && !slices.ContainsFunc(files, func(f file) bool { return !slices.ContainsFunc(r.Files, f.recorded().same) })
}

func (f recordFile) same(g recordFile) bool {
	return f.Name == g.Name && f.Size == g.Size && f.Time.Equal(g.Time)
}

// ofOthers tells whether the record has a file that is not among others by name: what
// comes without it is not a better state of the job.
func (r *record) ofOthers(files []file) bool {
	return r != nil && slices.ContainsFunc(r.Files, func(f recordFile) bool {
		return !slices.ContainsFunc(files, func(g file) bool { return g.recorded().Name == f.Name })
	})
}

// write writes the record.
func (r *record) write(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(r)
}

// mostOfName bounds the name of a job's folder, in bytes: systems take 255, and the
// names of outputs in it are longer.
const mostOfName = 180

// folderName is what the folder of a job is called: the job's name, with %XX for what
// some system takes in no name. Names that are cut end in a hash of the whole.
func folderName(name string) string {
	safe := escaped(name, `\:*?"<>|%/`)
	if strings.HasPrefix(safe, ".") {
		safe = "%2E" + safe[1:]
	}
	if last := len(safe) - 1; strings.ContainsRune(". ", rune(safe[last])) {
		safe = safe[:last] + fmt.Sprintf("%%%02X", safe[last])
	}
	if len(safe) > mostOfName {
		hash := sha256.Sum256([]byte(name))
		safe = strings.ToValidUTF8(safe[:mostOfName-17], "") + "-" + hex.EncodeToString(hash[:8])
	}
	return safe
}

// escaped is a text with %XX for bytes of what is not graphic, and of signs.
func escaped(text, signs string) string {
	var b strings.Builder
	for i, r := range text {
		size := len(string(r))
		if r == unicode.ReplacementChar && !strings.HasPrefix(text[i:], string(r)) {
			size = 1 // a byte that is not UTF-8
		}
		if part := text[i : i+size]; size == 1 && r == unicode.ReplacementChar || !unicode.IsGraphic(r) || strings.ContainsRune(signs, r) {
			for _, c := range []byte(part) {
				fmt.Fprintf(&b, "%%%02X", c)
			}
		} else {
			b.WriteString(part)
		}
	}
	return b.String()
}
