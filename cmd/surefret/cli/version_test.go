package cli

import (
	"runtime/debug"
	"strings"
	"testing"
)

func TestVersionNamesTheCommit(t *testing.T) {
	with := func(settings ...debug.BuildSetting) *debug.BuildInfo { return &debug.BuildInfo{Settings: settings} }
	const commit = "5c4e3d3b6a0f1e2d3c4b5a69788796a5b4c3d2e1"
	released := func(version string) *debug.BuildInfo {
		info := with(debug.BuildSetting{Key: "vcs.revision", Value: commit})
		info.Main.Version = version
		return info
	}
	at := debug.BuildSetting{Key: "vcs.time", Value: "2026-11-25T11:33:12Z"}
	for _, c := range []struct {
		info *debug.BuildInfo
		want string
	}{
		{with(debug.BuildSetting{Key: "vcs.revision", Value: commit}, at), "surefret, commit 5c4e3d3b6a0f of 2026-11-25 ("},
		{with(debug.BuildSetting{Key: "vcs.revision", Value: commit}, at, debug.BuildSetting{Key: "vcs.modified", Value: "true"}),
			"surefret, commit 5c4e3d3b6a0f of 2026-11-25, changed since ("},
		{released("v0.1.0"), "surefret v0.1.0, commit 5c4e"},
		{released("v0.1.1-0.20261125113312-5c4e3d3b6a0f"), "surefret, commit 5c4e"},
		{released("v0.1.0+dirty"), "surefret v0.1.0, commit 5c4e"},
		{with(), "surefret, unknown commit ("},
		{nil, "surefret, unknown commit ("},
	} {
		if got := BuildOf(c.info).String(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q does not begin with %q", got, c.want)
		}
	}
}
