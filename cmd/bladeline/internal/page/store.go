package page

import (
	"net/http"
	"sync"

	"bladeline/coverage"
)

// Bounds of what is held of each kind; beyond them what was used least
// recently goes. A large plate's sums take some 2 MB.
const (
	maxHeld      = 64
	maxHeldBytes = 512 << 20
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
	raster []byte // of a drawn one, the PNG that was measured

	used int // when, by the store's clock
}

// bytes is about what the separation takes.
func (sep *separation) bytes() int {
	return 8*(len(sep.Columns)+len(sep.Rows)) + 4*len(sep.Cells.Ink) + len(sep.raster)
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
	for sep.kind != given && s.tooMany(sep.kind) {
		delete(s.held, s.oldest(sep.kind).id)
	}
	return sep
}

func (s *store) touch(sep *separation) {
	s.clock++
	sep.used = s.clock
}

func (s *store) tooMany(k kind) bool {
	count, bytes := 0, 0
	for _, sep := range s.held {
		if sep.kind == k {
			count, bytes = count+1, bytes+sep.bytes()
		}
	}
	return count > maxHeld || bytes > maxHeldBytes && count > 1
}

func (s *store) oldest(k kind) *separation {
	var oldest *separation
	for _, sep := range s.held {
		if sep.kind == k && (oldest == nil || sep.used < oldest.used) {
			oldest = sep
		}
	}
	return oldest
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
