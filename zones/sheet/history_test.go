package sheet

import (
	"fmt"
	"strings"
	"testing"

	"bladeline/zones/preset/history"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func historyTexts(t *testing.T, h *history.History, size PageSize) []string {
	page, err := HistoryPage(h, "ok", size)
	require.NoError(t, err)
	require.Empty(t, clash(page))
	return textsOf(page)
}

// TestHistoryCounts: one job of one month, and two of two.
func TestHistoryCounts(t *testing.T) {
	one := history.Month{Month: "2026-03", Jobs: 1}
	assert.Contains(t, historyTexts(t, &history.History{Months: []history.Month{one}}, A4), "1 job, 2026-03")
	two := []history.Month{one, {Month: "2026-04", Jobs: 1}}
	assert.Contains(t, historyTexts(t, &history.History{Months: two}, A4), "2 jobs, 2026-03 to 2026-04")
}

// TestHistoryCountsUndated: jobs under the day of their file are counted, as far as
// they are drawn.
func TestHistoryCountsUndated(t *testing.T) {
	h := &history.History{Months: []history.Month{{Month: "2026-03", Jobs: 3}}, Jobs: []history.Job{
		{Date: "2026-03-02", DayOf: history.Dated}, {Date: "2026-03-03", DayOf: history.OfFile},
	}}
	assert.Contains(t, historyTexts(t, h, Letter), "3 jobs, 2026-03; 1 job without a date, under the day on which the file was last changed")
	h.Jobs = append(h.Jobs, history.Job{Date: "2026-03-04", DayOf: history.OfFile}, history.Job{Date: "2021-01-04", DayOf: history.OfFile})
	assert.Contains(t, historyTexts(t, h, A4), "3 jobs, 2026-03; 2 jobs without a date, under the day on which the file was last changed")
}

// TestHistoryFindsNothing: that no key has drifted is said only where it is known.
func TestHistoryFindsNothing(t *testing.T) {
	m := history.Month{Month: "2026-03", Jobs: 1, Share: history.Share{Read: 9}}
	said := strings.Join(historyTexts(t, &history.History{Months: []history.Month{m}}, A4), "\n")
	assert.Contains(t, said, "The press of these jobs was not named")
	assert.NotContains(t, said, "No key has drifted")
	m.WithinStepPct = new(90.0)
	said = strings.Join(historyTexts(t, &history.History{Months: []history.Month{m}}, A4), "\n")
	assert.Contains(t, said, "No key has drifted")
}

// TestHistoryFillsThePage: as many findings as there is room for, then how many
// there are; none is left out for one line.
func TestHistoryFillsThePage(t *testing.T) {
	for size, room := range map[PageSize]int{A4: 8, Letter: 10} {
		for n := 1; n <= 20; n++ {
			h := &history.History{Months: []history.Month{{Month: "2026-03", Jobs: 3}}}
			for i := range n {
				h.Findings = append(h.Findings, fmt.Sprintf("key %d reads high: zero it", i+1))
			}
			texts := historyTexts(t, h, size)
			all := texts[len(texts)-1] == fmt.Sprintf("• key %d reads high: zero it", n)
			assert.Equal(t, n <= room, all, "%d on %s", n, size)
			if !all {
				assert.Contains(t, texts, fmt.Sprintf("… %d findings in all; the table has every one", n))
			}
		}
	}
}
