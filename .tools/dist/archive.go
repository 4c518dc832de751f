package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"io"
	"time"
)

// An entry is a file of an archive.
type entry struct {
	name    string
	data    []byte
	program bool // that is run
}

func (e *entry) mode() int64 {
	if e.program {
		return 0o755
	}
	return 0o644
}

// writeTar writes entries within a folder, all of one time and of nobody.
func writeTar(w io.Writer, folder string, at time.Time, entries []entry) error {
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	t := tar.NewWriter(z)
	for _, e := range entries {
		header := &tar.Header{Name: folder + "/" + e.name, Mode: e.mode(), Size: int64(len(e.data)), ModTime: at, Format: tar.FormatPAX}
		if err := t.WriteHeader(header); err != nil {
			return err
		}
		if _, err := t.Write(e.data); err != nil {
			return err
		}
	}
	if err := t.Close(); err != nil {
		return err
	}
	return z.Close()
}

// writeZip writes entries within a folder, all of one time.
func writeZip(w io.Writer, folder string, at time.Time, entries []entry) error {
	z := zip.NewWriter(w)
	for _, e := range entries {
		header := &zip.FileHeader{Name: folder + "/" + e.name, Method: zip.Deflate, Modified: at}
		file, err := z.CreateHeader(header)
		if err != nil {
			return err
		}
		if _, err := file.Write(e.data); err != nil {
			return err
		}
	}
	return z.Close()
}
