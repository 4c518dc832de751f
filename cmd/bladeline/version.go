package main

import (
	"cmp"
	"fmt"
	"runtime"
	"runtime/debug"
)

// version says which program this is, in two lines.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		info = &debug.BuildInfo{}
	}
	return versionOf(info)
}

// versionOf says of which commit a program was built, with which Go and for which
// system. Nothing in it depends on when or where.
func versionOf(info *debug.BuildInfo) string {
	set := map[string]string{"GOOS": runtime.GOOS, "GOARCH": runtime.GOARCH}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	commit := "not known, as Go was not to record it (-buildvcs=false), or found no git checkout"
	if revision := set["vcs.revision"]; revision != "" {
		commit = revision + " of " + set["vcs.time"]
		if set["vcs.modified"] == "true" {
			commit += ", and changes to it"
		}
	}
	return fmt.Sprintf("bladeline, commit %s\nbuilt with %s for %s/%s", commit, cmp.Or(info.GoVersion, "a Go that is not known"), set["GOOS"], set["GOARCH"])
}
