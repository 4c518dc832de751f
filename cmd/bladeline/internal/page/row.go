package page

import (
	"crypto/sha256"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
)

// A formRow is a row of forms in rising difficulty, for a class to set the keys of.
// The same seed gives the same forms, on every machine and press.
type formRow struct {
	Seed  string         `json:"seed"` // without needless blanks, in small letters
	Forms []preparedForm `json:"forms"`
}

type rowQuestion struct {
	Seed string `json:"seed"`
}

// rowLength is how many forms a row has: two blocks in the first, two more in each
// that follows.
const rowLength = 6

func (s *Server) row(r *http.Request) (any, error) {
	var q rowQuestion
	if err := read(r, &q); err != nil {
		return nil, err
	}
	seed := strings.ToLower(strings.Join(strings.Fields(q.Seed), " "))
	if seed == "" {
		return nil, refused("seed", "the forms of a class come from a word that all of it type alike; write one")
	}
	return rowOf(seed), checkName("seed", seed)
}

// rowOf makes the forms of a word.
func rowOf(seed string) formRow {
	chance := rand.New(rand.NewChaCha8(sha256.Sum256([]byte("row of forms\n" + seed))))
	row := formRow{Seed: seed}
	for i := range rowLength {
		row.Forms = append(row.Forms, preparedForm{
			ID: fmt.Sprintf("%s %d", seed, i+1), Title: fmt.Sprintf("Form %d", i+1),
			Says: fmt.Sprintf("Form %d of the %d of the class %s.", i+1, rowLength, seed), Shapes: blocks(chance, 2+2*i),
		})
	}
	return row
}

// blocks fills a plate with blocks side by side, each of a tint and a length of its
// own; of many some stay bare.
func blocks(chance *rand.Rand, n int) []shape {
	edges := []float64{0.02}
	for i := 1; i < n; i++ {
		edges = append(edges, to(0.02+0.96*(float64(i)+0.6*(chance.Float64()-0.5))/float64(n), 3))
	}
	edges = append(edges, 0.98)
	bare := chance.Perm((n - 1) / 2)[:max(0, n/3-1)] // of every second one between two others
	var shapes []shape
	before := 0.0
	for i := range n {
		length, tint, from := 0.2+0.7*chance.Float64(), 5+5*chance.IntN(20), chance.Float64()
		for alike(length*float64(tint), before) {
			length, tint = 0.2+0.7*chance.Float64(), 5+5*chance.IntN(20)
		}
		if before = length * float64(tint); i%2 == 1 && slices.Contains(bare, i/2) {
			before = 0
			continue
		}
		s := shape{X: edges[i], W: to(edges[i+1]-edges[i], 3), H: to(length, 3), Tint: float64(tint)}
		s.Y = to(0.03+(0.94-s.H)*from, 3)
		shapes = append(shapes, s)
	}
	return shapes
}

// alike tells whether two blocks are covered so nearly the same that their keys would
// hardly differ.
func alike(a, b float64) bool { return b > 0 && max(a, b) < 1.8*min(a, b) }

func to(v float64, digits int) float64 {
	times := math.Pow10(digits)
	return math.Round(v*times) / times
}
