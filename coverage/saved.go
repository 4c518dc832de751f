package coverage

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"bladeline/coverage/internal/raster"

	"github.com/klauspost/compress/zlib"
)

// Saved Maps are a first line, then a zlib stream: the length of a JSON
// description, the description (savedHeader), and for every separation its
// columns, rows and cells as unsigned varints. zlib's checksum ends the file. Forms
// of several pieces, which the description has, make it the second kind: who knows
// the first alone would take the pieces for the whole.
const (
	savedMagic      = "bladeline.cover/1\n"
	savedFormsMagic = "bladeline.cover/2\n"
)

func isSaved(magic []byte) bool {
	return bytes.HasPrefix(magic, []byte(savedMagic)) || bytes.HasPrefix(magic, []byte(savedFormsMagic))
}

// maxSavedHeader bounds the description, which is mostly cell borders.
const maxSavedHeader = 4 << 20

// maxPath bounds the names of files that are kept: PATH_MAX of Linux, the
// longest of any system.
const maxPath = 4096

type savedHeader struct {
	Separations []savedMap  `json:"separations"`
	Forms       []savedForm `json:"forms,omitempty"`
}

type savedMap struct {
	Ink     string  `json:"ink"`
	File    string  `json:"file"`
	Page    int     `json:"page"`
	Channel int     `json:"channel"`
	Width   int     `json:"width_px"`
	Height  int     `json:"height_px"`
	DPIX    float64 `json:"dpi_x"`
	DPIY    float64 `json:"dpi_y"`
	Full    uint64  `json:"full"`
	CellsX  []int   `json:"cells_x_px"`
	CellsY  []int   `json:"cells_y_px"`
}

// Save writes Maps, to be measured again by Open as if they were the raster. What
// Open would refuse is refused before anything is written: more than fit in one
// file by an ErrTooMany, and a Map made by hand that is of no raster. Warnings are
// not saved, measuring finds them again.
func Save(w io.Writer, maps []*Map) error {
	if len(maps) == 0 {
		return errors.New("there is no separation to save; measure one first")
	}
	for i, m := range maps {
		if m == nil {
			return fmt.Errorf("separation %d of %d is not there; measure it first", i+1, len(maps))
		}
	}
	maps, forms, err := withoutForms(maps)
	if err != nil {
		return err
	}
	text, err := described(maps, forms)
	if err != nil {
		return err
	}
	magic := savedMagic
	if len(forms) > 0 {
		magic = savedFormsMagic
	}
	if _, err := io.WriteString(w, magic); err != nil {
		return err
	}
	packed := zlib.NewWriter(w)
	if err := writeSums(packed, text, maps); err != nil {
		return err
	}
	return packed.Close()
}

// described is the description of Maps and forms, if it is one that is read again.
func described(maps []*Map, forms []savedForm) ([]byte, error) {
	h := savedHeader{Forms: forms}
	for _, m := range maps {
		h.Separations = append(h.Separations, savedMap{
			m.Ink, m.File, m.Page, m.Channel, m.Width, m.Height, m.DPIX, m.DPIY, m.Full, m.Cells.X, m.Cells.Y,
		})
	}
	err := h.checkSums()
	for i := 0; err == nil && i < len(maps); i++ {
		if err = h.Separations[i].validate(); err == nil {
			err = maps[i].validate()
		}
		if err != nil {
			return nil, fmt.Errorf("separation %d of %d: %w; measure it anew", i+1, len(maps), err)
		}
	}
	var text []byte
	if err == nil {
		text, err = json.Marshal(h)
	}
	if err == nil && !fits(text) {
		err = ErrTooMany
	}
	if errors.Is(err, ErrTooMany) {
		err = fmt.Errorf("%w in one file of coverage (there are %d); save some of them in another", err, len(maps))
	}
	return text, err
}

// writeSums writes the description behind its length, and the sums of Maps.
func writeSums(w io.Writer, text []byte, maps []*Map) error {
	b := bufio.NewWriterSize(w, 64<<10)
	write := func(v uint64) { b.Write(binary.AppendUvarint(b.AvailableBuffer(), v)) } // Flush tells of errors
	write(uint64(len(text)))
	b.Write(text)
	for _, m := range maps {
		for _, v := range m.Columns {
			write(v)
		}
		for _, v := range m.Rows {
			write(v)
		}
		for _, v := range m.Cells.Ink {
			write(uint64(v))
		}
	}
	return b.Flush()
}

// readSaved reads what Save wrote. Sums that contradict each other are refused.
func (f *File) readSaved(o Options) ([]*Map, error) {
	maps, err := loadSaved(io.NewSectionReader(&f.data, int64(len(savedMagic)), 1<<62))
	if err != nil {
		return nil, &raster.FormatError{What: "the saved coverage is damaged: " + err.Error(), Do: "measure the separations again", Err: err}
	}
	if o.InkIsLight {
		for _, m := range rastersOf(maps) {
			m.invert()
		}
	}
	return maps, nil
}

func loadSaved(r io.Reader) ([]*Map, error) {
	inflate, err := zlib.NewReader(bufio.NewReader(r))
	if err != nil {
		return nil, err
	}
	defer inflate.Close()
	src := bufio.NewReader(inflate)
	h, err := loadHeader(src)
	if err != nil {
		return nil, err
	}
	var maps []*Map
	for _, s := range h.Separations {
		m := &Map{
			Ink: s.Ink, File: s.File, Page: s.Page, Channel: s.Channel,
			Width: s.Width, Height: s.Height, DPIX: s.DPIX, DPIY: s.DPIY, Full: s.Full,
			Cells: Cells{X: s.CellsX, Y: s.CellsY},
		}
		if err := m.load(src); err != nil {
			return nil, err
		}
		maps = append(maps, m)
	}
	if _, err := src.ReadByte(); !errors.Is(err, io.EOF) {
		return nil, errorOr(err, "there is more than the separations it names")
	}
	return withForms(maps, h.Forms)
}

func errorOr(err error, otherwise string) error {
	if err != nil {
		return err
	}
	return errors.New(otherwise)
}

// maxSaved bounds the separations, and what else opens a brace in their names:
// an empty one is described in three bytes and takes fifty times as many.
const maxSaved = 20_000

// ErrTooMany says that separations are more than one file of saved coverage may
// hold, which is what is read again.
var ErrTooMany = errors.New("it holds more separations than fit")

// loadHeader reads the description and refuses one that claims too much.
func loadHeader(src *bufio.Reader) (*savedHeader, error) {
	length, err := binary.ReadUvarint(src)
	if err != nil || length > maxSavedHeader {
		return nil, errorOr(err, "its description is too long")
	}
	text, err := io.ReadAll(io.LimitReader(src, int64(length)))
	if err != nil {
		return nil, err
	}
	if !fits(text) {
		return nil, ErrTooMany
	}
	h := new(savedHeader)
	if err := json.Unmarshal(text, h); err != nil {
		return nil, err
	}
	if key, _, doubled := DoubledKey(text); doubled {
		return nil, fmt.Errorf("the key %.40q appears twice in its description", key)
	}
	if err := h.checkSums(); err != nil {
		return nil, err
	}
	for i := range h.Separations {
		s := &h.Separations[i]
		s.Ink, s.File = raster.Name(s.Ink), strings.Clone(s.File[:min(len(s.File), maxPath)])
		if err := s.validate(); err != nil {
			return nil, err
		}
	}
	if len(h.Separations) == 0 {
		return nil, errors.New("it holds no separation")
	}
	return h, nil
}

// fits tells whether a description is no longer, and of no more separations, than
// is read.
func fits(text []byte) bool {
	return len(text) <= maxSavedHeader && bytes.Count(text, []byte{'{'}) <= maxSaved
}

// validate refuses what no raster is.
func (s *savedMap) validate() error {
	if !cuts(s.CellsX, s.Width) || !cuts(s.CellsY, s.Height) || s.Full < 1 || s.Full > 0xffff || !isResolution(s.DPIX) || !isResolution(s.DPIY) {
		return fmt.Errorf("what it says of %q is impossible", s.Ink)
	}
	return nil
}

func isResolution(dpi float64) bool { return dpi >= 0 && !math.IsInf(dpi, 0) }

// checkSums refuses separations whose sums are more than is held at once. What
// the reader would refuse is not written either, or the work were lost.
func (h *savedHeader) checkSums() error {
	held, cells := 0, int64(0)
	for i := range h.Separations {
		s := &h.Separations[i]
		page := raster.Header{Width: s.Width, Height: s.Height, Samples: 1}
		if err := page.Check(); err != nil {
			return err
		}
		held += s.Width + s.Height
		cells += int64(len(s.CellsX)-1) * int64(len(s.CellsY)-1)
		if held > raster.MaxSums || cells > maxCells {
			return ErrTooMany
		}
	}
	return nil
}

// cuts tells if the borders rise from 0 to length.
func cuts(borders []int, length int) bool {
	if len(borders) < 2 || borders[0] != 0 || borders[len(borders)-1] != length {
		return false
	}
	for i := range borders[1:] {
		if side := borders[i+1] - borders[i]; side < 1 || side > maxCell {
			return false
		}
	}
	return true
}

// load reads the sums of a Map whose sizes are set.
func (m *Map) load(src io.ByteReader) error {
	cols, rows := len(m.Cells.X)-1, len(m.Cells.Y)-1
	column, row, cell := m.limits()
	var err error
	if m.Columns, err = loadSums[uint64](src, m.Width, column); err != nil {
		return err
	}
	if m.Rows, err = loadSums[uint64](src, m.Height, row); err != nil {
		return err
	}
	if m.Cells.Ink, err = loadSums[uint32](src, cols*rows, cell); err != nil {
		return err
	}
	return m.validate()
}

// limits are the most that a column, a row and a cell hold.
func (m *Map) limits() (column, row, cell uint64) {
	return m.Full * uint64(m.Height), m.Full * uint64(m.Width), m.Full * maxCell * maxCell
}

// validate refuses sums that do not belong to a Map of its size, or to each other.
func (m *Map) validate() error {
	column, row, cell := m.limits()
	total := m.Total()
	switch {
	case len(m.Columns) != m.Width || len(m.Rows) != m.Height || len(m.Cells.Ink) != (len(m.Cells.X)-1)*(len(m.Cells.Y)-1):
		return fmt.Errorf("the sums of %q are not those of its size", m.Ink)
	case above(m.Columns, column) || above(m.Rows, row) || above(m.Cells.Ink, cell) || m.overfull():
		return fmt.Errorf("a sum of %q is more than its pixels can hold", m.Ink)
	case total != sum(m.Rows) || total != sum(m.Cells.Ink):
		return fmt.Errorf("the sums of %q contradict each other", m.Ink)
	}
	return nil
}

// overfull tells if a cell holds more than its own pixels can.
func (m *Map) overfull() bool {
	cols := len(m.Cells.X) - 1
	for i, ink := range m.Cells.Ink {
		x, y := i%cols, i/cols
		if uint64(ink) > m.Full*uint64(m.Cells.X[x+1]-m.Cells.X[x])*uint64(m.Cells.Y[y+1]-m.Cells.Y[y]) {
			return true
		}
	}
	return false
}

func above[T uint32 | uint64](sums []T, limit uint64) bool {
	return slices.ContainsFunc(sums, func(v T) bool { return uint64(v) > limit })
}

// loadSums reads n numbers of at most limit; memory grows with what is there.
func loadSums[T uint32 | uint64](src io.ByteReader, n int, limit uint64) ([]T, error) {
	var sums []T
	for range n {
		v, err := binary.ReadUvarint(src)
		if err != nil {
			return nil, err
		}
		if v > limit {
			return nil, fmt.Errorf("a sum of %d where %d is the most", v, limit)
		}
		sums = append(sums, T(v))
	}
	return slices.Clone(sums), nil // without the room to grow
}

func sum[T uint32 | uint64](s []T) (total uint64) {
	for _, v := range s {
		total += uint64(v)
	}
	return total
}
