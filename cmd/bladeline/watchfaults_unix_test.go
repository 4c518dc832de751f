//go:build unix

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bladeline/cmd/bladeline/internal/hotfolder"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"
)

// quick are flags that make a watcher as fast as tests are.
var quick = []string{"--settle", "300ms", "--poll", "100ms"}

// put writes a plate into the folder, and returns its bytes.
func put(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	require.NoError(t, writePlate(filepath.Join("in", name), args...))
	data, err := os.ReadFile(filepath.Join("in", name))
	require.NoError(t, err)
	return data
}

// TestWatchGrowing: a file that grows is not read before it is whole, however long
// that takes; one whose copy stands still for too long fails, and is tried again.
func TestWatchGrowing(t *testing.T) {
	watchFolder(t)
	grow, steps := 3*time.Second, 30
	if isLong() {
		grow, steps = time.Minute, 600
	}
	whole := put(t, "slow_C.tif", "400x400", "100", "8bit", "10,40,20")
	require.NoError(t, os.Remove("in/slow_C.tif"))
	w := startWatch(t, "--settle", "3s", "--poll", "100ms")
	file, err := os.Create("in/slow_C.tif")
	require.NoError(t, err)
	for i := range steps {
		_, err := file.Write(whole[i*len(whole)/steps : (i+1)*len(whole)/steps])
		require.NoError(t, err)
		time.Sleep(grow / time.Duration(steps))
	}
	assert.Empty(t, w.entries("failed"))
	assert.Empty(t, w.entries("done"))
	require.NoError(t, file.Close())
	assert.EqualValues(t, len(whole), w.waitFor(t, "done", "slow").Bytes)

	require.NoError(t, os.WriteFile("in/stalls_C.tif", whole[:len(whole)/2], 0o666))
	w.waitFor(t, "failed", "stalls")
	assert.FileExists(t, "out/stalls/stalls.error.txt")
	require.NoError(t, os.WriteFile("in/stalls_C.tif", whole, 0o666))
	w.waitFor(t, "done", "stalls")
	assert.NoFileExists(t, "out/stalls/stalls.error.txt")
	w.end(t)
}

// TestWatchReplaced: a plate that is replaced while the job is read, under the same
// name and of the same size, leaves no preset that is of neither state.
func TestWatchReplaced(t *testing.T) {
	watchFolder(t)
	const size = "6000x6000"
	put(t, "other.bin", size, "1200", "80")
	other, err := os.ReadFile("in/other.bin")
	require.NoError(t, err)
	require.NoError(t, os.Remove("in/other.bin"))
	first := put(t, "fair_C.tif", size, "1200", "20")
	require.Len(t, other, len(first))
	w := startWatch(t, quick...)
	states := [][]byte{first, other}
	for i := range 12 {
		time.Sleep(time.Duration(200+20*i) * time.Millisecond)
		if i%2 == 0 {
			require.NoError(t, os.WriteFile("in/fair_C.tif", states[(i+1)%2], 0o666))
			continue
		}
		require.NoError(t, os.WriteFile("in/.fair", states[(i+1)%2], 0o666))
		require.NoError(t, os.Rename("in/.fair", "in/fair_C.tif"))
	}
	require.NoError(t, os.WriteFile("in/fair_C.tif", other, 0o666))
	covered := func() float64 {
		var p struct {
			Units []struct {
				CoveragePct float64 `json:"coverage_pct"`
			}
		}
		data, err := os.ReadFile("out/fair/fair.json")
		if err != nil || json.Unmarshal(data, &p) != nil {
			return 0
		}
		return p.Units[0].CoveragePct
	}
	require.Eventually(t, func() bool {
		pct := covered()
		require.Contains(t, []float64{0, 20, 80}, pct)
		return pct == 80
	}, patience, 10*time.Millisecond)
	w.end(t)
	assert.Empty(t, leftIn(t, "out", "in"))
}

// TestWatchVanishing: files that are removed, folders that go and come back, and one
// that is another by then.
func TestWatchVanishing(t *testing.T) {
	watchFolder(t)
	w := startWatch(t, "--settle", "3s", "--poll", "100ms")
	w.waitFor(t, "began", "")
	put(t, "gone_C.tif", "40x40", "10", "30")
	require.NoError(t, os.Remove("in/gone_C.tif"))
	put(t, "stays_C.tif", "40x40", "10", "30")
	w.waitFor(t, "done", "stays")

	require.NoError(t, os.Rename("in", "away"))
	w.waitFor(t, "blocked", "")
	require.NoError(t, os.Rename("away", "in"))
	w.waitFor(t, "unlocked", "")
	put(t, "later_C.tif", "40x40", "10", "30")
	w.waitFor(t, "done", "later")

	require.NoError(t, os.RemoveAll("in"))
	require.NoError(t, os.Mkdir("in", 0o777))
	put(t, "anew_C.tif", "40x40", "10", "30")
	w.waitFor(t, "done", "anew")
	require.NoError(t, os.Mkdir("in/folder", 0o777))
	put(t, "folder/C.tif", "40x40", "10", "30")
	w.waitFor(t, "done", "folder")

	// Presets do not go into what stands in place of a share.
	require.NoError(t, os.Rename("out", "share"))
	require.NoError(t, os.Mkdir("out", 0o777))
	put(t, "share_C.tif", "40x40", "10", "30")
	require.Eventually(t, func() bool { return len(w.entries("blocked")) == 2 }, patience, 20*time.Millisecond)
	assert.Contains(t, w.entries("blocked")[1].Text, "out: cannot be written: its .bladeline-watch.lock is gone, as where a share is not there")
	entries, err := os.ReadDir("out")
	require.NoError(t, err)
	assert.Empty(t, entries)
	require.NoError(t, os.Remove("out"))
	require.NoError(t, os.Rename("share", "out"))
	w.waitFor(t, "done", "share")
	w.end(t)
	var jobs []string
	for _, e := range w.entries("done") {
		jobs = append(jobs, e.Job)
	}
	assert.Equal(t, []string{"stays", "later", "anew", "folder", "share"}, jobs)
}

// TestWatchNames: jobs of any name are done, as the command does them.
func TestWatchNames(t *testing.T) {
	watchFolder(t)
	const accented = "Café Grün"
	for name, job := range map[string]string{
		"two words": "", "it's \"quoted\" $(true)": "", "-o": "", "--press": "", "深红 🎨": "", "100%": "", " blank ": "blank", "a=b": "", "*?": "",
		norm.NFD.String(accented): norm.NFC.String(accented),
	} {
		if job == "" {
			job = name
		}
		t.Run(fmt.Sprintf("%q", name), func(t *testing.T) {
			put(t, name+"_C.tif", "60x40", "10", "10,60")
			put(t, name+"_M.tif", "60x40", "10", "20,30")
			w := startWatch(t, append(quick, "--once", "--settle", "100ms")...)
			require.NoError(t, w.command.Wait(), w.log.String()+w.errs.String())
			require.Len(t, w.entries("done"), 1)
			assert.Equal(t, job, w.entries("done")[0].Job)
			j := watchedJob{name: job}
			wantOf(t, &j, []string{".csv", ".json"}, "in/"+name+"_C.tif", "in/"+name+"_M.tif")
			folder := w.entries("done")[0].Out
			for _, ending := range []string{".csv", ".json"} {
				data, err := os.ReadFile(filepath.Join(folder, filepath.Base(folder)+ending))
				require.NoError(t, err)
				assert.True(t, bytes.Equal(j.want[job+ending], data), ending)
			}
			require.NoError(t, os.Remove("in/"+name+"_C.tif"))
			require.NoError(t, os.Remove("in/"+name+"_M.tif"))
		})
	}
	// The command refuses a name of two lines, which is no line of a CSV.
	put(t, "a\nb_C.tif", "60x40", "10", "10,60")
	w := startWatch(t, append(quick, "--once")...)
	require.NoError(t, w.command.Wait(), w.log.String())
	assert.Equal(t, "a b", w.entries("done")[0].Job)
	made, err := os.ReadFile("out/a b/a b.json")
	require.NoError(t, err)
	assert.Contains(t, string(made), `"file": "in/a b_C.tif"`)
	require.NoError(t, os.Remove("in/a\nb_C.tif"))

	// One job, of which each half comes from another system.
	put(t, norm.NFD.String("Fête")+"_C.tif", "60x40", "10", "10,60")
	put(t, norm.NFC.String("Fête")+"_M.tif", "60x40", "10", "10,60")
	w = startWatch(t, append(quick, "--once")...)
	require.NoError(t, w.command.Wait())
	require.Len(t, w.entries("done"), 1)
	assert.Equal(t, 2, w.entries("done")[0].Files)
}

// TestWatchTimes: what clocks say of a file, which they may say of yesterday or of
// next year, matters only in that it is another time than before.
func TestWatchTimes(t *testing.T) {
	watchFolder(t)
	w := startWatch(t, quick...)
	put(t, "fair_C.tif", "40x40", "10", "30")
	next := time.Now().AddDate(1, 0, 0)
	require.NoError(t, os.Chtimes("in/fair_C.tif", next, next))
	w.waitFor(t, "done", "fair")
	past := time.Now().AddDate(-30, 0, 0)
	put(t, "fair_C.tif", "40x40", "10", "60")
	require.NoError(t, os.Chtimes("in/fair_C.tif", past, past))
	require.Eventually(t, func() bool { return len(w.entries("done")) == 2 }, patience, 20*time.Millisecond)
	now := time.Now()
	require.NoError(t, os.Chtimes("in/fair_C.tif", now, now))
	w.waitFor(t, "same", "fair")
	w.end(t)
	assert.Len(t, w.entries("done"), 2)
}

// TestWatchTwice: a second watcher is told who holds the folders, and one that was
// killed holds none.
func TestWatchTwice(t *testing.T) {
	watchFolder(t)
	w := startWatch(t, quick...)
	w.waitFor(t, "began", "")
	host, err := os.Hostname()
	require.NoError(t, err)
	for _, args := range [][]string{{"in", "--out", "out2"}, {"in", "--out", "out"}} {
		stdout, stderr, status := shell(t, "bladeline watch --press six.press.toml "+strings.Join(args, " "))
		assert.Equal(t, statusFailed, status)
		assert.Empty(t, stdout)
		assert.Regexp(t, fmt.Sprintf(`^bladeline: (in|out): is worked on by process %d on %s, since 20\d\d-\d\d-\d\d \d\d:\d\d:\d\d; end that one first, or name another folder\n$`, w.command.Process.Pid, host), stderr)
	}
	require.NoError(t, w.command.Process.Kill())
	w.command.Wait()
	put(t, "fair_C.tif", "40x40", "10", "30")
	again := startWatch(t, append(quick, "--once")...)
	assert.NoError(t, again.command.Wait(), again.errs.String())
	assert.Len(t, again.entries("done"), 1)
}

// TestWatchStatus holds what a monitoring system is told.
func TestWatchStatus(t *testing.T) {
	watchFolder(t)
	put(t, "fair_C.tif", "40x40", "10", "30")
	put(t, "half_C.tif", "40x40", "10", "30")
	require.NoError(t, os.WriteFile("in/bad_C.tif", []byte("Dear operator,\n"), 0o666))
	require.NoError(t, os.WriteFile("shop.rules.toml", []byte("[[rules]]\nnames = [\"FAIR\"]\npaper = \"news\"\nsweep = 50\n"), 0o666))
	w := startWatch(t, append(quick, "--status", "status.json", "--inks", "Cyan", "--rules", "shop.rules.toml")...)
	w.waitFor(t, "done", "half")
	w.waitFor(t, "done", "fair")
	w.waitFor(t, "failed", "bad")
	var s hotfolder.Status
	require.Eventually(t, func() bool {
		data, err := os.ReadFile("status.json")
		if err != nil {
			return false
		}
		assert.NoError(t, checkSchema(data), "at any moment")
		return json.Unmarshal(data, &s) == nil && s.Counts.Done == 2 && s.Counts.Failed == 1
	}, patience, 50*time.Millisecond)
	w.end(t)
	assert.Equal(t, hotfolder.StatusFormat, s.Format)
	assert.Equal(t, w.command.Process.Pid, s.PID)
	assert.Nil(t, s.Blocked)
	require.Len(t, s.Queue, 1)
	assert.Equal(t, hotfolder.Queued{Job: "bad", Stage: "failed", Files: 1, Missing: []string{}}, s.Queue[0])
	require.Len(t, s.Last, 3)
	for _, last := range s.Last {
		assert.Equal(t, "six.press.toml", last.Press)
		assert.Equal(t, last.Job == "bad", last.Error != nil)
		if last.Job == "fair" {
			assert.Equal(t, "news", *last.Paper)
			assert.Equal(t, "50", last.Sweep)
			assert.Equal(t, "rule 1 of shop.rules.toml", *last.Rule)
		}
	}
}
