package main

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"runtime"
	"slices"
)

func printMachine(runs int) {
	fmt.Printf("%s; %d cores; %s; median of %d runs each, in turn; file in memory\n", processor(), runtime.NumCPU(), runtime.Version(), runs)
}

func processor() string {
	info, err := os.ReadFile("/proc/cpuinfo")
	if err == nil {
		for line := range bytes.Lines(info) {
			name, value, _ := bytes.Cut(line, []byte(":"))
			if string(bytes.TrimSpace(name)) == "model name" {
				return string(bytes.TrimSpace(value))
			}
		}
	}
	return "unnamed processor, " + runtime.GOARCH
}

func printHeading() {
	fmt.Print(`
| plate | file | MB | bladeline s | C s | bladeline ÷ C | of pairs | bladeline MiB |
|---|---|--:|--:|--:|--:|--:|--:|
`)
}

func printResult(r result) {
	pairs := r.pairs()
	fmt.Printf("| %s | %s | %.1f | %.3f | %.3f | %.2f | %.2f–%.2f | %.1f |\n", r.title, r.plate.file, r.sizeMB,
		medianS(r.ours), medianS(r.theirs), medianS(r.ours)/medianS(r.theirs),
		slices.Min(pairs), slices.Max(pairs), peakMiB(r.ours))
}

func printMissing(r row) {
	fmt.Printf("| %s | %s | | | %s is not installed | | | |\n", r.title, r.plate.file, r.peer.name)
}

func printGrowthHeading() {
	fmt.Print(`
| file | MB | bladeline s | bladeline ms/MB | C ms/MB | bladeline MiB |
|---|--:|--:|--:|--:|--:|
`)
}

func printGrowth(r result) {
	fmt.Printf("| %s | %.1f | %.3f | %.2f | %.2f | %.1f |\n", r.plate.file, r.sizeMB, medianS(r.ours),
		1e3*medianS(r.ours)/r.sizeMB, 1e3*medianS(r.theirs)/r.sizeMB, peakMiB(r.ours))
}

func printKindHeading() {
	fmt.Print(`
| Group 4 | file | MB | bladeline s | C s | times as fast | of pairs | ns a transition | of all cores | C ns | ms/MB |
|---|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|
`)
}

func printKind(r result) {
	pairs := r.pairs()
	fmt.Printf("| %s | %s | %.1f | %.3f | %.3f | %.2f | %.2f–%.2f | %.2f | %.2f | %.2f | %.2f |\n", r.title, r.plate.file, r.sizeMB,
		medianS(r.ours), medianS(r.theirs), r.timesAsFast(), 1/slices.Max(pairs), 1/slices.Min(pairs),
		r.transitionNS(medianS(r.ours)), r.transitionNS(medianCPU(r.ours)), r.transitionNS(medianS(r.theirs)),
		1e3*medianS(r.ours)/r.sizeMB)
}

func (r result) timesAsFast() float64 { return medianS(r.theirs) / medianS(r.ours) }

// transitionNS is each transition's part in so many seconds.
func (r result) transitionNS(s float64) float64 { return 1e9 * s / float64(r.facts.transitions) }

// printWorst says which kind is the least ahead of the C program, and of which
// a transition takes longest.
func printWorst(strips string, results []result) {
	if len(results) == 0 {
		return
	}
	worst := slices.MinFunc(results, func(a, b result) int { return cmp.Compare(a.timesAsFast(), b.timesAsFast()) })
	cpuNS := func(r result) float64 { return r.transitionNS(medianCPU(r.ours)) }
	dearest := slices.MaxFunc(results, func(a, b result) int { return cmp.Compare(cpuNS(a), cpuNS(b)) })
	fmt.Printf("\nOf %d kinds in %s, the worst is %.2f times as fast (%s); a transition takes %.2f ns of all cores at most (%s)\n",
		len(results), strips, worst.timesAsFast(), worst.plate.file, cpuNS(dearest), dearest.plate.file)
}

// pairs are the ratios of the laps that ran one after the other.
func (r result) pairs() []float64 {
	var ratios []float64
	for i := range r.ours {
		ratios = append(ratios, r.ours[i].wallS/r.theirs[i].wallS)
	}
	return ratios
}

func medianS(laps []lap) float64 {
	return median(laps, func(l lap) float64 { return l.wallS })
}

func medianCPU(laps []lap) float64 {
	return median(laps, func(l lap) float64 { return l.cpuS })
}

func median(laps []lap, of func(lap) float64) float64 {
	var s []float64
	for _, l := range laps {
		s = append(s, of(l))
	}
	slices.Sort(s)
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

func peakMiB(laps []lap) float64 {
	peak := 0.0
	for _, l := range laps {
		peak = max(peak, l.peakMiB)
	}
	return peak
}
