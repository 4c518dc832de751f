package sheet

import (
	"strconv"

	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// bank is a row of keys of a change-over. Its sizes are those of all banks of a
// page.
type bank struct {
	columns            int
	column             float64 // width, mm
	was, is, move, box float64 // heights of rows, mm
	wasPT, isPT, byPT  float64
	stacked            bool // the arrow stands over how far a key goes, not before it
}

// Heights, mm, and sizes of type in banks.
const (
	mostBanks   = 4
	bankHeadMM  = 6.4 // the zone's number
	okBoxMM     = 10
	leastOKMM   = 46 // of a bank: less has no box for the key that is finally run
	roomyRowsMM = 56 // more than rows of the largest type take
	mostIsPT    = 40
	mostWasPT   = 22
	mostMovePT  = 24
	// Figures of 20 pt are 5 mm high, which one reads at arm's length and
	// beyond: at a metre 2.5 mm are (common practice, no source).
	enoughPT = 20
)

// banks draws the keys in one row where its figures are large enough, else in as
// many as give the largest. It says where they end.
func (s *changeSheet) banks(room Box) (bottom float64) {
	var best bank
	count := 0
	for n := 1; n <= min(mostBanks, len(s.keys)) && best.isPT < enoughPT; n++ {
		if b := s.fittedBank(room, n); b.isPT > best.isPT {
			best, count = b, n
		}
	}
	step := (room.Bottom - room.Top) / float64(count)
	for i := range count {
		from := i * best.columns
		to := min(from+best.columns, len(s.keys))
		if from < to {
			bottom = s.bank(best, s.keys[from:to], room.Left, room.Top+float64(i)*step)
		}
	}
	return bottom
}

// fittedBank is one of n banks, as large as the room lets it be.
func (s *changeSheet) fittedBank(room Box, n int) bank {
	b := bank{columns: (len(s.keys) + n - 1) / n}
	b.column = (room.Right - room.Left) / float64(b.columns)
	height := (room.Bottom-room.Top)/float64(n) - bankGapMM
	if height >= leastOKMM {
		b.box = okBoxMM
	}
	rows := min(height-bankHeadMM-b.box, roomyRowsMM)
	if b.box > 0 {
		b.box = min(height-bankHeadMM-rows, 2*okBoxMM)
	}
	var was, is, by []string
	for _, k := range s.keys {
		was, is, by = append(was, wasText(k)), append(is, k.KeyText), append(by, byText(k))
	}
	set := func(stacked bool) bank {
		b := b
		b.stacked, b.was, b.is, b.move = stacked, 0.26*rows, 0.44*rows, 0.3*rows
		free := b.column - min(2.6, 0.18*b.column)
		beside, high := free-b.arrowMM()-besideMM, b.move
		if stacked {
			b.was, b.is, b.move = 0.22*rows, 0.36*rows, 0.42*rows
			beside, high = free, b.move-b.arrowMM()
		}
		b.wasPT = largest(was, free, b.was, mostWasPT, false)
		b.isPT = largest(is, free, b.is, mostIsPT, true)
		b.byPT = largest(by, beside, high, mostMovePT, true)
		return b
	}
	lying, stacked := set(false), set(true)
	if stacked.byPT > 1.15*lying.byPT && lying.byPT < enoughPT {
		return stacked
	}
	return lying
}

// largest is the largest type of texts that run no wider, and stand no higher, than
// there is room.
func largest(texts []string, wideMM, highMM, mostPT float64, bold bool) float64 {
	return min(mostPT, wideMM/max(widest(texts, 1, bold), 1e-3), (highMM-1.6)/(ascent*mmPerPT))
}

// besideMM is free between an arrow and its text.
const besideMM = 1.3

// arrowMM is how wide and high an arrow is.
func (b bank) arrowMM() float64 {
	if b.stacked {
		return min(0.44*b.move, 0.6*b.column)
	}
	return min(0.6*b.move, 0.3*b.column)
}

func wasText(k preset.KeyChange) string {
	if k.KeyWasText == nil {
		return "?"
	}
	return *k.KeyWasText
}

// byText is how far a key goes, with a sign: what opens is more.
func byText(k preset.KeyChange) string {
	switch k.Move {
	case preset.Open:
		return "+" + *k.DifferenceText
	case preset.Close:
		return "−" + *k.DifferenceText
	case preset.SetTo:
		return "set"
	}
	return "="
}

// bank draws keys side by side: number, where each stands, where it goes, how
// far, and a box for what was finally run. It says where the last ends.
func (s *changeSheet) bank(b bank, keys []preset.KeyChange, left, top float64) (bottom float64) {
	was := top + bankHeadMM
	is, move := was+b.was, was+b.was+b.is
	ok := move + b.move
	for i, k := range keys {
		box := Box{left + float64(i)*b.column, was, left + float64(i+1)*b.column, ok}
		fill := White
		if k.Move == preset.Stay {
			fill = Pale
		}
		s.area(box.corners(), fill, 0.4)
		x := (box.Left + box.Right) / 2
		s.number(k.Zone, Box{box.Left, top, box.Right, was})
		s.middled(x, was, b.was, wasText(k), b.wasPT, false)
		s.middled(x, is, b.is, k.KeyText, b.isPT, true)
		s.moved(k, b, x, move)
		if b.box > 0 {
			s.frame(Box{box.Left, ok, box.Right, ok + b.box}, 0.5)
		}
	}
	s.bankNames(b, left, top)
	return ok + b.box
}

// middled sets a text in the middle of a row.
func (s *changeSheet) middled(x, top, height float64, text string, sizePT float64, bold bool) {
	s.text(x, top+(height+ascent*sizePT*mmPerPT)/2, text, sizePT, bold, centred)
}

// bankNames stand in the gutter.
func (s *changeSheet) bankNames(b bank, left, top float64) {
	name := func(height float64, text string, bold bool) {
		s.text(left-2, top+height/2+1, text, 9, bold, toRight)
		top += height
	}
	name(bankHeadMM, "zone", true)
	name(b.was, "now at", false)
	name(b.is, "set to", true)
	name(b.move, byName(s.change.Press.KeyUnit), false)
	if b.box > 0 {
		name(b.box, "OK key", true)
	}
}

func byName(unit press.KeyUnit) string {
	if unit == press.Turn {
		return "turn by"
	}
	return "move by"
}

// number writes a zone's, that of the centre, where the work begins, white on
// black.
func (s *changeSheet) number(zone int, box Box) {
	text := strconv.Itoa(zone)
	size := min(14, 0.8*(box.Right-box.Left)/widthMM("88", 1, true))
	m := Text{X: (box.Left + box.Right) / 2, Y: box.Bottom - 1.4, Before: centred, Text: text, SizePT: size, Bold: true}
	if zone == s.change.Centre() {
		s.area(Box{box.Left, box.Top + 0.4, box.Right, box.Bottom}.corners(), Black, 0)
		m.Gray = White
	}
	s.add(m)
}
