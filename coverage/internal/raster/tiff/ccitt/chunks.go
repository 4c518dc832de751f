package ccitt

import (
	"math/bits"
	"sync"
)

// chunkBits is how many bits of a row a look-up of a chunk sees.
const chunkBits = 14

// A chunk is what the next chunkBits bits of a two-dimensional row decode to,
// where the colour is known: as many codes of any mode as they hold whole, if
// each b1 is where it is as a rule. It says so in lanes of vectors:
//
//	lanes 0–6  the elements of the reference line from b1 on
//	lane  7    a0
type chunk struct {
	// delta is what to add to the lane that each element of the row starts from;
	// in lane 7, the new a0.
	delta [8]int8
	// from is the number of that lane in its lower 3 bits. Above them stands how
	// far the lane's element must lie right of the one before it, and in lane 7
	// b1 right of a0, for the codes to be decoded together.
	from [8]uint8
}

// A chunkStep is how far a chunk leads; 0 where its first code is of no use.
//
//	bits 0– 5  how many bits its codes take
//	bits 6– 8  how many elements of the reference line to go on by
//	bits 9–11  how many elements of the row it gives
//	bits 12–31 how many bytes to go on by to the steps of the next colour, signed
type chunkStep int32

const (
	stepSkip  = 6
	stepGiven = 9
	stepOther = 12
)

// A chunkTable holds the chunks by colour, black first, and bits.
type chunkTable struct {
	steps  [2 << chunkBits]chunkStep
	chunks [2 << chunkBits]chunk
	// second holds how many bits the second of two codes takes, where both are
	// vertical or pass codes.
	second [1 << (2 * codeBits)]uint8
}

// chunksByBits is made when it is first needed: its time counts where files are
// small.
var chunksByBits = sync.OnceValue(func() *chunkTable {
	t := new(chunkTable)
	for colour := range 2 {
		from, to := colour<<chunkBits, (colour+1)<<chunkBits
		fillChunks(t.steps[from:to], t.chunks[from:to], colour)
	}
	for i := range t.second {
		first := codes[i>>codeBits]
		second := codes[i<<first.bits()>>codeBits&(len(codes)-1)]
		if (first|second)&codeKind == 0 {
			t.second[i] = uint8(second.bits())
		}
	}
	return t
})

// What the lanes hold at most.
const (
	lastLane  = 6
	a0Lane    = 7
	mostGiven = 7
	mostLeast = 31
)

// A chunkBuilder takes codes one by one.
type chunkBuilder struct {
	bits   int // taken
	colour int // 1 is white
	b1     int // its lane
	a0     int // the lane that a0 starts from
	delta  int // a0 less that lane's element
	least  [8]uint8
	most   int // of least
	given  int // elements of the row
	chunk
}

// fillChunks makes the chunks of a colour, by their bits. Bits that begin like
// those before them begin with the same codes, which are not taken anew.
func fillChunks(steps []chunkStep, chunks []chunk, colour int) {
	taken := []chunkBuilder{{a0: a0Lane, colour: colour}} // with no code, one, two …
	for i := range steps {
		alike := chunkBits - bits.Len(uint(i^(i-1))&(1<<chunkBits-1))
		for taken[len(taken)-1].bits > alike {
			taken = taken[:len(taken)-1]
		}
		for {
			next := taken[len(taken)-1]
			if !next.add(uint64(i)<<(64-chunkBits+next.bits)) || next.bits > chunkBits || next.most > mostLeast {
				break
			}
			taken = append(taken, next)
		}
		steps[i], chunks[i] = taken[len(taken)-1].made(colour)
	}
}

// made is the chunk of the codes taken, on rows that were at a colour.
func (b chunkBuilder) made(colour int) (chunkStep, chunk) {
	if b.bits == 0 {
		return 0, chunk{}
	}
	b.put(a0Lane)
	for lane, least := range b.least {
		b.from[lane] |= least << 3
	}
	other := (4 << chunkBits) * (b.colour - colour)
	return chunkStep(b.bits | b.b1<<stepSkip | b.given<<stepGiven | other<<stepOther), b.chunk
}

// add takes the first code of bits, if the chunk can hold it.
func (b *chunkBuilder) add(bits uint64) bool {
	c := codes[bits>>(64-codeBits)]
	b.bits += c.bits()
	switch {
	case c == codeHorizontal:
		p := pairs[b.colour][bits<<horizontalBits>>(64-pairBits)]
		b.bits += p.bits()
		return b.horizontal(int(p.first()), int(p.second()))
	case c&codeKind != 0:
		return false
	case c.isPass():
		return b.pass()
	}
	return b.vertical(c.delta())
}

// vertical: a1 lies right of a0. The next b1 is the next element of the
// reference line, if that lies right of a1 and the one before b1 does not.
func (b *chunkBuilder) vertical(d int) bool {
	if b.b1 == lastLane {
		return false
	}
	b.require(b.lane(), 1+b.delta-d)
	b.require(b.b1, -d)
	b.a0, b.delta = b.b1, d
	b.b1++
	b.require(b.b1, 1+d)
	return b.give()
}

// pass: a0 is b2, behind which another element must follow.
func (b *chunkBuilder) pass() bool {
	if b.b1+2 > lastLane {
		return false
	}
	b.a0, b.delta = b.b1+1, 0
	b.b1 += 2
	b.require(b.b1, 1)
	return true
}

// horizontal: b1 stays, if it lies right of a2. Runs of no length are left
// alone.
func (b *chunkBuilder) horizontal(first, second int) bool {
	if first == 0 || second == 0 {
		return false
	}
	b.require(b.lane(), 1+b.delta+first+second)
	b.delta += first
	if !b.give() {
		return false
	}
	b.delta += second
	return b.give()
}

// lane is that of the distance between b1 and the lane that a0 starts from.
func (b *chunkBuilder) lane() int {
	if b.a0 == a0Lane {
		return a0Lane
	}
	return b.b1
}

func (b *chunkBuilder) require(lane, least int) {
	b.least[lane] = max(b.least[lane], uint8(max(least, 0)))
	b.most = max(b.most, least)
}

// give makes a0 an element of the row.
func (b *chunkBuilder) give() bool {
	if b.given == mostGiven {
		return false
	}
	b.put(b.given)
	b.given++
	b.colour ^= 1
	return true
}

// put makes a0 what a lane gives.
func (b *chunkBuilder) put(lane int) {
	b.chunk.delta[lane], b.from[lane] = int8(b.delta), uint8(b.a0)
}
