package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var (
	at      = time.Date(2026, 11, 26, 10, 0, 0, 0, time.UTC)
	entries = []entry{{name: "README.md", data: []byte("read me")}, {name: "bladeline", data: []byte("program"), program: true}}
)

// Nothing of an archive depends on when, where or by whom it is made.
func TestTar(t *testing.T) {
	var b bytes.Buffer
	if err := writeTar(&b, "bladeline-1", at, entries); err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	if !z.ModTime.IsZero() || z.Name != "" {
		t.Errorf("gzip states the time %v and the name %q", z.ModTime, z.Name)
	}
	files := tar.NewReader(z)
	for _, want := range entries {
		h, err := files.Next()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(files)
		if err != nil || h.Name != "bladeline-1/"+want.name || !bytes.Equal(data, want.data) {
			t.Errorf("%s: %q, %v", h.Name, data, err)
		}
		if !h.ModTime.Equal(at) || h.Uid != 0 || h.Gid != 0 || h.Uname != "" || h.Gname != "" || h.Mode != want.mode() {
			t.Errorf("%s: %+v", h.Name, h)
		}
	}
	if _, err := files.Next(); err != io.EOF {
		t.Error(err)
	}
}

func TestZip(t *testing.T) {
	var b bytes.Buffer
	if err := writeZip(&b, "bladeline-1", at, entries); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil || len(z.File) != len(entries) {
		t.Fatal(err)
	}
	for i, f := range z.File {
		file, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(file)
		if err != nil || f.Name != "bladeline-1/"+entries[i].name || !bytes.Equal(data, entries[i].data) || !f.Modified.Equal(at) {
			t.Errorf("%s: %q, %v, %v", f.Name, data, f.Modified, err)
		}
	}
}

// A module's licences go along, whatever it calls them; one without any is refused.
func TestLicences(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"LICENSE", "LICENCE.md", "COPYING", "NOTICE.txt", "PATENTS", "licences.go", "README.md", "used/deep/LICENSE", "unused/LICENSE", "THIRD_PARTY_LICENSES/Boost"} {
		if err := os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(name), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	found, err := licencesIn(module{Path: "example.org/m", Dir: dir, packages: []string{filepath.Join(dir, "used", "deep")}})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range found {
		names = append(names, strings.TrimPrefix(e.name, "licences/example.org/m/"))
	}
	if got, want := strings.Join(names, " "), "COPYING LICENCE.md LICENSE NOTICE.txt PATENTS THIRD_PARTY_LICENSES/Boost used/deep/LICENSE"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if _, err := licencesIn(module{Path: "example.org/none", Dir: t.TempDir()}); err == nil {
		t.Error("a module without a licence is taken")
	}
}

func TestTargets(t *testing.T) {
	got, err := parseTargets([]string{"linux/arm64", "windows/amd64"})
	if err != nil || !slices.Equal(got, []target{{"linux", "arm64"}, {"windows", "amd64"}}) {
		t.Error(got, err)
	}
	for _, args := range [][]string{nil, {"linux"}, {"linux/arm64", "/386"}} {
		if _, err := parseTargets(args); err == nil {
			t.Errorf("%q are taken", args)
		}
	}
}
