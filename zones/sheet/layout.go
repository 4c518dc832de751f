package sheet

// Heights and widths of the page's parts, mm.
const (
	marginMM  = 9
	headerMM  = 19 // names, sweep
	runMM     = 5  // the line for the run, below
	edgeMM    = 4.2
	rollerMM  = 5
	bladeMM   = 1.3 // the blade's thickness, as drawn
	screwMM   = 7   // from the blade at its widest to below the screws' heads
	numberMM  = 5.6
	longestMM = 22 // most that a text which reads upwards may run
	markMM    = 3.8
	orderMM   = 5
	notesMM   = 33
	mostMM    = 46 // of notes, where there is much to say
	gutterMM  = 19 // left of the fountain, for the names of rows
	endMM     = 5  // right of it
	formGapMM = 19 // the widest gap, under a picture
	bareGapMM = 44 // the most that it takes where there is room
	okMM      = 10 // a box to write in
	roomyOKMM = 24 // the same where there is room
)

// plan says where the parts of one page stand, in mm.
type plan struct {
	left, right, column float64 // the fountain's ends; the width of a zone

	formTop, formBottom   float64 // equal where there is no picture
	roller, edge          float64 // top of the roller; its lower edge, from which gaps are measured
	gap                   float64 // a fully open key's
	number                float64 // top of the rows below the screws, each row's top after it
	coverage, key, shut   float64
	mark, ok, order, note float64
	notes                 float64 // height of the notes
	markHeight            float64 // of the row of marks, or of a run's preset
	notesPT               float64 // their largest type; 0: largestPT
	notesWhole            bool    // each in one column, where all fit so

	coverageType, keyType typeSize
	presetType            typeSize // of a run's preset, in place of the marks
	shutType              typeSize // without height where no row says where keys are shut
}

// A typeSize is how a row of texts is set to fit its columns.
type typeSize struct {
	sizePT float64
	up     bool
	height float64 // of the row, mm
}

// planned divides the page. Notes that find no place in their share of it get
// more, at the cost of the picture.
func (s *sheet) planned(f *drawnForm) plan {
	s.plan = s.divided(f, notesMM)
	_, _, over := s.fill(s.about(f), s.noteWidth(), noteColumns-1)
	if over == 0 {
		return s.plan
	}
	lines := float64(over/(noteColumns-1) + 1)
	return s.divided(f, min(mostMM, notesMM+lines*leading(smallestPT)))
}

// divided divides the page: rows are as high as their texts need, the notes
// have their share, and the picture and the gap take the rest.
func (s *sheet) divided(f *drawnForm, notesMM float64) plan {
	p := plan{left: marginMM + gutterMM, right: s.Page.WidthMM - marginMM - endMM}
	p.column = (p.right - p.left) / float64(len(s.keys))
	p.coverageType = fitted(s.coverageTexts(), p.column, 10, 7.5, false)
	p.keyType = fitted(s.keyTexts(), p.column, 17, 11, true)
	if texts := s.shutTexts(); len(texts) > 0 {
		p.shutType = fitted(texts, p.column, 9, 6.5, false)
	}

	p.markHeight = markMM
	if s.run != nil {
		p.presetType = fitted(s.presetTexts(), p.column, 9, 6.5, false)
		p.markHeight = max(markMM, p.presetType.height)
	}

	ok := max(okMM, p.keyType.height)
	fixed := 2*marginMM + s.headerMM() + edgeMM + rollerMM + bladeMM + screwMM +
		numberMM + p.coverageType.height + p.keyType.height + p.shutType.height + p.markHeight + ok + orderMM + notesMM
	room := s.Page.HeightMM - fixed
	p.gap, p.formTop = formGapMM, marginMM+s.headerMM()
	if f != nil {
		p.formTop += edgeMM
		room -= edgeMM
	}
	room -= p.gap
	p.formBottom = p.formTop
	if f != nil {
		p.formBottom += min(room, f.LengthMM*s.scale())
		room -= p.formBottom - p.formTop
	}
	// What a short form leaves over goes to the gap, the boxes and the notes.
	more := min(room, bareGapMM-p.gap)
	p.gap, room = p.gap+more, room-more
	more = min(room, max(0, roomyOKMM-ok))
	p.stack(ok + more)
	p.notes = notesMM + room - more
	return p
}

// stack puts what stands below the form in its place, from above.
func (p *plan) stack(ok float64) {
	p.roller = p.formBottom + edgeMM
	p.edge = p.roller + rollerMM
	p.number = p.edge + p.gap + bladeMM + screwMM
	p.coverage = p.number + numberMM
	p.key = p.coverage + p.coverageType.height
	p.shut = p.key + p.keyType.height
	p.mark = p.shut + p.shutType.height
	p.ok = p.mark + p.markHeight
	p.order = p.ok + ok
	p.note = p.order + orderMM
}

// fitted sets texts as large as their columns allow, lying where that is not
// too small to read, else reading upwards.
func fitted(texts []string, columnMM, mostPT, leastPT float64, bold bool) typeSize {
	beside := min(2.2, 0.16*columnMM) // free of the two borders together
	lying := min(mostPT, (columnMM-beside)/widest(texts, 1, bold))
	if lying >= leastPT {
		return typeSize{lying, false, ascent*lying*mmPerPT + 2.4}
	}
	up := min(leastPT+2, (columnMM-0.1)/((ascent+descent)*mmPerPT), longestMM/widest(texts, 1, bold))
	return typeSize{up, true, widest(texts, up, bold) + 3}
}

// scale is mm on the page for a mm of the fountain; 1 where its width is not
// known.
func (s *sheet) scale() float64 {
	if w := s.preset.Press.ZoneWidthMM; w != nil {
		return (s.Page.WidthMM - 2*marginMM - gutterMM - endMM) / (*w * float64(len(s.keys)))
	}
	return 1
}

// x is the left border of the i-th zone from the left.
func (p plan) x(i int) float64 { return p.left + float64(i)*p.column }

// middle is the middle of the i-th zone from the left.
func (p plan) middle(i int) float64 { return p.x(i) + p.column/2 }

// screws is the height of the screws' heads' upper side.
func (p plan) screws() float64 { return p.edge + p.gap + bladeMM + screwMM - 2.6 }
