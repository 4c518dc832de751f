package tiff

import (
	"cmp"
	"slices"
	"sort"
)

// A span is bytes of the file, from one offset to another.
type span struct{ from, to int64 }

// spans rise and do not touch each other.
type spans []span

// maxDirectories is how many directories are kept clear of data, far more than
// a file of separations has: they are looked up before the first page is read.
const maxDirectories = 1 << 18

// chain finds the header and the directories of all pages, so that no page's
// data are taken from another's directory, be it an earlier or a later one. It
// ends where the chain of them is broken, which is said when that page is read.
func (in *input) chain(first int64) spans {
	found := []span{{0, in.headerSize()}}
	var bytes int64
	for at := first; at != 0 && bytes <= in.size && len(found) <= maxDirectories; {
		entries, n, err := in.countEntries(at)
		_, entry, offset := in.sizes()
		if err != nil || n < 1 || n > maxFields {
			break
		}
		end := entries + n*entry + offset
		next, err := in.bytes(end-offset, offset)
		if err != nil {
			break
		}
		found = append(found, span{at, end})
		bytes += end - at
		at = in.offset(next)
	}
	return joined(found)
}

// countEntries reads how many entries the directory at offset has, and tells
// where the first of them is.
func (in *input) countEntries(offset int64) (at, n int64, err error) {
	size, _, _ := in.sizes()
	head, err := in.bytes(offset, size)
	if err != nil {
		return 0, 0, err
	}
	if in.big {
		return offset + size, in.offset(head), nil
	}
	return offset + size, int64(in.order.Uint16(head)), nil
}

// joined sorts what was found, and makes one of what touches.
func joined(found []span) spans {
	slices.SortFunc(found, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	last := 0
	for _, s := range found[1:] {
		if s.from <= found[last].to {
			found[last].to = max(found[last].to, s.to)
			continue
		}
		last++
		found[last] = s
	}
	return slices.Clone(found[:last+1])
}

// meet tells if any of the spans has a byte of data.
func (s spans) meet(data span) bool {
	i := s.endingBehind(data.from)
	return i < len(s) && s[i].from < data.to
}

// endingBehind is the first span that ends behind offset.
func (s spans) endingBehind(offset int64) int {
	return sort.Search(len(s), func(i int) bool { return s[i].to > offset })
}
