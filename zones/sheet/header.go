package sheet

import (
	"fmt"

	"bladeline/zones/press"
)

// leastSweepPT is the least size that a sweep is written in, to be read from where
// one stands at the press.
const leastSweepPT = 24

// header names the ink, the job and the press, and says the sweep, large, with a
// box for the one that was finally run. Of a run it says so, and the preset's sweep
// beside the one that was run.
func (s *sheet) header() {
	const boxWidth, boxHeight = 34.0, 14.0
	right := s.Page.WidthMM - marginMM
	box := Box{right - boxWidth, marginMM, right, marginMM + boxHeight}
	if !s.answers {
		s.frame(box, 0.5)
		s.text(box.Left+1.2, box.Top+3.2, "OK sweep", 8, false, fromLeft)
	}

	sweep := shortened(press.Amount(s.unit.SweepRun(), s.preset.Press.SweepUnit), leastSweepPT, true, 62)
	pt := fitting(sweep, 34, leastSweepPT, 62)
	s.text(box.Left-4, box.Bottom-1, sweep, pt, true, toRight)
	label := box.Left - 4 - widthMM(sweep, pt, true) - 3
	s.text(label, box.Bottom-1, "Sweep", 13, false, toRight)

	width := label - widthMM("Sweep", 13, false) - 8 - marginMM
	names := marginMM + 0.0
	if s.run != nil {
		was := shortened("preset "+press.Amount(s.unit.Sweep, s.preset.Press.SweepUnit), 9, false, 40)
		s.text(label, box.Top+4, was, 9, false, toRight)
		width = min(width, label-widthMM(was, 9, false)-8-marginMM)
		names += s.mark(s.asRun())
	} else if s.answers {
		names += s.mark("ANSWERS")
	}
	size := min(28, max(18, width/widthMM(shown(s.unit.Ink), 1, true)))
	s.text(marginMM, marginMM+9, shortened(s.unit.Ink, size, true, width), size, true, fromLeft)
	most := width - (names - marginMM)
	s.text(names, marginMM+15.4, shortened(s.jobLine(most), 11, false, most), 11, false, fromLeft)
	if line := s.runLine(); line != "" {
		s.text(marginMM, marginMM+20.4, shortened(line, 11, false, right-marginMM), 11, false, fromLeft)
	}
	rule := marginMM + s.headerMM() - 1.6
	s.line(marginMM, rule, right, rule, 0.6, Black)
}

// mark says before the job's name what is drawn, and how much room that takes.
func (s *sheet) mark(text string) float64 {
	s.text(marginMM, marginMM+15.4, text, 11, true, fromLeft)
	return widthMM(text+"  ", 11, true)
}

// headerMM is the header's height, with a line for the run where there is one.
func (s *sheet) headerMM() float64 {
	if s.runLine() == "" {
		return headerMM
	}
	return headerMM + runMM
}

// jobLine is job, press and mean coverage. The press gives way to a long job
// only when the line is too long, and the coverage to none.
func (s *sheet) jobLine(mostMM float64) string {
	mean := ""
	if s.unit.CoveragePct != nil {
		mean = fmt.Sprintf("  |  covered %.1f %% on average", *s.unit.CoveragePct)
	}
	names := mostMM - widthMM(mean, 11, false)
	pressName := shortened("  |  "+s.preset.Press.Name, 11, false, names/2)
	job := s.preset.Job
	if job == "" {
		job = "job without a name"
	}
	return shortened(job, 11, false, names-widthMM(pressName, 11, false)) + pressName + mean
}
