package page

import (
	"net/http"
	"sync"

	"bladeline/coverage"
)

// Bounds of what is held of each kind, uploaded and drawn; a large plate's sums
// take some 2 MB. Beyond them goes what was used least recently, of the tab that
// holds most: one that holds no more than the others loses nothing to them.
const (
	maxHeldBytes = 512 << 20
	maxHeld      = 128                    // four jobs of as many inks as one can have
	leastBytes   = maxHeldBytes / maxHeld // what a separation counts as at least
)

// kind is how a separation came here.
type kind int

const (
	given    kind = iota // from the command line: never dropped
	uploaded             // by a client
	drawn                // by a client, as shapes
)

// A separation is one that the server holds.
type separation struct {
	*coverage.Map
	id     string
	kind   kind
	tab    string // that brought it
	raster []byte // of a drawn one, the PNG that was measured

	used int // when, by the store's clock
}

// bytes is about what the separation takes, and what it counts as: its sums and
// every text that is kept with them.
func (sep *separation) bytes() int {
	cells := &sep.Cells
	sums := 8*(len(sep.Columns)+len(sep.Rows)+len(cells.X)+len(cells.Y)) + 4*len(cells.Ink)
	texts := len(sep.Ink) + len(sep.File) + len(sep.id) + len(sep.tab)
	for _, w := range sep.Warnings {
		texts += len(w.Code) + len(w.Text)
	}
	return max(leastBytes, sums+texts+len(sep.raster)+bytesOn(sep.Sheet))
}

// standingBytes is about what a piece takes beside its raster.
const standingBytes = 200

// bytesOn is about what the pieces of a form take: each raster once.
func bytesOn(s *coverage.Sheet) (sum int) {
	if s == nil {
		return 0
	}
	counted := map[*coverage.Map]bool{}
	for i := range s.Pieces {
		sum += standingBytes
		if m := s.Pieces[i].Map; !counted[m] {
			counted[m] = true
			sum += (&separation{Map: m}).bytes()
		}
	}
	return sum
}

// store keeps separations by their identity.
type store struct {
	mu    sync.Mutex
	held  map[string]*separation
	clock int
}

func newStore() *store { return &store{held: map[string]*separation{}} }

// keep takes a separation, and drops others of its kind that are too many.
func (s *store) keep(sep *separation) *separation {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held[sep.id] = sep
	s.touch(sep)
	for sep.kind != given {
		over := s.over(sep)
		if over == nil {
			break
		}
		delete(s.held, over.id)
	}
	return sep
}

func (s *store) touch(sep *separation) {
	s.clock++
	sep.used = s.clock
}

// over is what has to go for a new separation; nil where all have their place.
func (s *store) over(added *separation) *separation {
	all, ofTab := 0, map[string]int{}
	for _, sep := range s.held {
		if sep.kind == added.kind {
			all += sep.bytes()
			ofTab[sep.tab] += sep.bytes()
		}
	}
	if all <= maxHeldBytes {
		return nil
	}
	var over *separation
	for _, sep := range s.held {
		if sep.kind != added.kind || sep == added {
			continue
		}
		if over == nil || ofTab[sep.tab] > ofTab[over.tab] || ofTab[sep.tab] == ofTab[over.tab] && sep.used < over.used {
			over = sep
		}
	}
	return over
}

// find returns a separation and notes that it was used.
func (s *store) find(id string) (*separation, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	sep, held := s.held[id]
	if !held {
		return nil, &refusal{http.StatusGone, "the server does not hold this separation any more; bring its file again", ""}
	}
	s.touch(sep)
	return sep, nil
}
