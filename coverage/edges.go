package coverage

// edges counts runs of ink by a difference array: +1 where a run starts, -1
// behind its end, so that a row costs its transitions and not its pixels. The
// array wraps, as what it is summed up to is mostRows at most; it is narrow since
// most of the time goes into bringing it from one level of caches to the next.
type edges struct{ steps []uint16 }

func (e *edges) reset(n int) {
	if len(e.steps) != n+1 {
		e.steps = zeros[uint16](n + 1)
	}
}

// add counts one row, given as pairs of start and end, and returns its ink.
func (e *edges) add(ends []int32) (ink uint64) {
	if len(ends) == 0 {
		return 0
	}
	if hasVectors {
		_ = e.steps[ends[len(ends)-1]] // the last one, as they rise
		return addEnds(&e.steps[0], &ends[0], len(ends))
	}
	steps := e.steps
	for i := 1; i < len(ends); i += 2 {
		start, end := ends[i-1], ends[i]
		steps[start]++
		steps[end]--
		ink += uint64(end - start)
	}
	return ink
}

// flushCells stores what each span got, of the one sample that a row of runs has.
func (e *edges) flushCells(_ []uint32, s *spans) {
	covered, from := uint16(0), 0
	for i, end := range s.ends {
		s.got[i], covered = sumSteps(e.steps[from:end], covered)
		from = end
	}
	s.since()
}

// sumSteps returns how much ink pixel columns got, the one before which covered
// times, and how often the last of them got some.
func sumSteps(steps []uint16, covered uint16) (sum uint32, last uint16) {
	if whole := len(steps) / stepsAtOnce * stepsAtOnce; hasVectors && whole > 0 {
		sum, covered = addSteps(&steps[0], whole, covered)
		steps = steps[whole:]
	}
	for _, step := range steps {
		covered += step
		sum += uint32(covered)
	}
	return sum, covered
}

// flushLanes adds how often each pixel column had ink to lanes.
func (e *edges) flushLanes(lanes []uint32) {
	var covered uint16
	for x := range lanes {
		covered += e.steps[x]
		lanes[x] += uint32(covered)
	}
	clear(e.steps)
}
