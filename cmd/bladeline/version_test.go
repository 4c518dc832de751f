package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersion(t *testing.T) {
	info := &debug.BuildInfo{GoVersion: "go1.26.0", Settings: []debug.BuildSetting{
		{Key: "GOOS", Value: "linux"},
		{Key: "GOARCH", Value: "arm64"},
		{Key: "vcs.revision", Value: "916c1e6"},
		{Key: "vcs.time", Value: "2026-11-26T10:00:00Z"},
		{Key: "vcs.modified", Value: "false"},
	}}
	assert.Equal(t, "bladeline, commit 916c1e6 of 2026-11-26T10:00:00Z\nbuilt with go1.26.0 for linux/arm64", versionOf(info))
	info.Settings[4].Value = "true"
	assert.Contains(t, versionOf(info), "commit 916c1e6 of 2026-11-26T10:00:00Z, and changes to it\n")
	assert.Contains(t, versionOf(&debug.BuildInfo{}), "commit not known, as Go was not to record it (-buildvcs=false), or found no git checkout\nbuilt with a Go that is not known for ")
}
