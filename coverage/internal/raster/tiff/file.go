// Package tiff reads the pages of a TIFF file strip by strip, as
// raster.Pages. It follows TIFF 6.0 (June 1992) and the later notes on
// Deflate; what it does not read it refuses by name.
package tiff

import (
	"encoding/binary"
	"fmt"
	"io"

	"bladeline/coverage/internal/raster"
)

type file struct {
	in          *input
	next        int64 // offset of the next directory, 0 behind the last
	page        int   // directories read
	seen        map[int64]bool
	directories int64 // bytes of all directories read
	used        int64 // bytes of all pages' strips and tiles
}

// IsTIFF tells from the first bytes of a file if it is a TIFF.
func IsTIFF(magic []byte) bool {
	return len(magic) >= 4 && (string(magic[:2]) == "II" && magic[3] == 0 && isVersion(magic[2]) ||
		string(magic[:2]) == "MM" && magic[2] == 0 && isVersion(magic[3]))
}

// isVersion knows the version of classic TIFF and that of BigTIFF.
func isVersion(v byte) bool { return v == 42 || v == 43 }

// Open reads the header of a TIFF of size bytes. The file stays in use until
// the last page is decoded.
func Open(r io.ReaderAt, size int64) (raster.File, error) {
	in := &input{r: r, size: size, order: binary.LittleEndian}
	head, err := in.bytes(0, 8)
	if err != nil {
		return nil, &raster.FormatError{What: "the file ends within its header", Do: exportAgain, Err: err}
	}
	if head[0] == 'M' {
		in.order = binary.BigEndian
	}
	first := int64(in.order.Uint32(head[4:]))
	if in.order.Uint16(head[2:]) == 43 {
		if first, err = in.openBig(); err != nil {
			return nil, err
		}
	}
	return &file{in: in, next: first, seen: map[int64]bool{}}, nil
}

// openBig reads the rest of a BigTIFF's header: the size of offsets, which is
// 8, a 0, and the first directory's offset.
func (in *input) openBig() (first int64, err error) {
	in.big = true
	head, err := in.bytes(0, 16)
	if err != nil {
		return 0, &raster.FormatError{What: "the file ends within its header", Do: exportAgain, Err: err}
	}
	first = in.offset(head[8:])
	if in.order.Uint16(head[4:]) != 8 || in.order.Uint16(head[6:]) != 0 || first < 0 {
		return 0, &raster.FormatError{What: "the header of the BigTIFF is damaged", Do: exportAgain}
	}
	return first, nil
}

// Next returns the next page that is neither a reduced copy nor a mask.
func (f *file) Next() (raster.Page, error) {
	if f.in.directories == nil {
		f.in.directories = f.in.chain(f.next)
	}
	for f.next != 0 {
		d, err := f.directory()
		if err != nil {
			return nil, err
		}
		kind, err := d.one(tagNewSubfileType, 0)
		if err != nil {
			return nil, err
		}
		if kind&(subfileReduced|subfileMask) != 0 {
			continue
		}
		p, err := newPage(d)
		if err == nil {
			err = p.claim(d, &f.used)
		}
		if err != nil {
			return nil, err
		}
		f.in.lzw.turn(p.compression == compressionLZW)
		return p, nil
	}
	return nil, io.EOF
}

// directory reads the next directory. The chain of them may neither come back
// to one that was read nor lead to one that lies on others, so that it costs no
// more than the file is long.
func (f *file) directory() (*directory, error) {
	f.page++
	if f.seen[f.next] {
		return nil, f.endless("the chain of pages does not end: directory %d is at byte %d")
	}
	if len(f.seen) < maxDirectories { // a longer chain that comes back is ended by its length
		f.seen[f.next] = true
	}
	d, err := f.in.readDirectory(f.next, f.page)
	if err != nil {
		return nil, err
	}
	if f.directories += d.size(); f.directories > f.in.size {
		return nil, f.endless("the pages' directories overlap: directory %d is at byte %d")
	}
	f.next = d.next
	return d, nil
}

func (f *file) endless(what string) error {
	return &raster.FormatError{Where: raster.Where{Page: f.page}, What: fmt.Sprintf(what, f.page, f.next), Do: exportAgain}
}
