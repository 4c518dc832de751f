//go:build unix

package main

import (
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// TestParallelExample runs the example for GNU parallel, which is Debian's: what comes
// out is what one process makes of all jobs, and what was done is not done again.
func TestParallelExample(t *testing.T) {
	script, err := filepath.Abs("../../examples/parallel.sh")
	require.NoError(t, err)
	watchFolder(t)
	t.Setenv("SOURCE_DATE_EPOCH", today)
	for _, name := range []string{"in/first", "in/its \"second\" job", "in/-third"} {
		require.NoError(t, os.Mkdir(name, 0o777))
		require.NoError(t, writePlate(filepath.Join(name, "fair_C.tif"), "60x40", "10", "10,60"))
		require.NoError(t, writePlate(filepath.Join(name, "fair_K.tif"), "60x40", "10", "20"))
	}
	require.Equal(t, statusDone, run([]string{"preset", "--press", "six.press.toml", "--out", "one", "in"}, nil, io.Discard, io.Discard))
	for range 2 {
		out, err := exec.Command("sh", script, "in", "six.press.toml", "many").CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	joblog, err := os.ReadFile("many/joblog")
	require.NoError(t, err)
	assert.Regexp(t, `^Seq.*\n(.*\n){3}$`, string(joblog))
	one := madeIn(t, "one")
	assert.Len(t, one, 9)
	assert.True(t, maps.Equal(one, madeIn(t, "many")))
}

// madeIn are the presets in the folders of a folder, by their folders and names.
func madeIn(t *testing.T, folder string) map[string]string {
	found := map[string]string{}
	require.NoError(t, filepath.WalkDir(folder, func(path string, e os.DirEntry, err error) error {
		if err == nil && !e.IsDir() && e.Name() != "joblog" {
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			found[filepath.Base(filepath.Dir(path))+"/"+e.Name()] = string(data)
		}
		return err
	}))
	return found
}

// TestKubernetesExample runs the command of the manifest's pods as a kubelet does, which
// puts the index of each in its place: what comes out is what one process makes of all
// folders. The module of tools holds the manifest against Kubernetes' types.
func TestKubernetesExample(t *testing.T) {
	text, err := os.ReadFile("../../examples/presets.job.yaml")
	require.NoError(t, err)
	var manifest struct {
		Spec struct {
			Completions int
			Template    struct {
				Spec struct{ Containers []struct{ Command []string } }
			}
		}
	}
	require.NoError(t, yaml.Unmarshal(text, &manifest))
	watchFolder(t)
	t.Setenv("SOURCE_DATE_EPOCH", today)
	require.NoError(t, os.MkdirAll("shop/presets", 0o777))
	require.NoError(t, os.Rename("six.press.toml", "shop/hall.press.toml"))
	require.NoError(t, os.Rename("line.curve.toml", "shop/line.curve.toml"))
	for i := range manifest.Spec.Completions {
		folder := fmt.Sprintf("shop/plates/%d", i)
		require.NoError(t, os.MkdirAll(folder, 0o777))
		require.NoError(t, writePlate(filepath.Join(folder, "fair_C.tif"), "60x40", "10", fmt.Sprint(10+i)))
	}
	for i := range manifest.Spec.Completions {
		pod := strings.NewReplacer("/shop/", "shop/", "$(JOB_COMPLETION_INDEX)", fmt.Sprint(i))
		var command []string
		for _, arg := range manifest.Spec.Template.Spec.Containers[0].Command {
			command = append(command, pod.Replace(arg))
		}
		out, err := exec.Command(command[0], command[1:]...).CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	require.Equal(t, statusDone, run([]string{"preset", "--press", "shop/hall.press.toml", "--out", "one", "shop/plates"}, nil, io.Discard, io.Discard))
	one := madeIn(t, "one")
	assert.Len(t, one, 3*manifest.Spec.Completions)
	assert.True(t, maps.Equal(one, madeIn(t, "shop/presets")))
}
