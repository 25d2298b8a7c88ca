package cli

import (
	"cmp"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
)

// unknownCommit stands where the program was built without git's knowledge:
// from an archive, or on a machine without git.
const unknownCommit = "unknown"

// A Build is what the program knows of how it was made.
type Build struct {
	Tag      string `json:"tag,omitempty"` // of the version, "v0.1.0"; "" between versions
	Commit   string `json:"commit"`        // 40 hexadecimal digits, or "unknown"
	Time     string `json:"time"`          // of the commit, RFC 3339; "" where it is unknown
	Modified bool   `json:"modified"`      // something was changed since
	Go       string `json:"go"`
	System   string `json:"system"` // as Go names it: "linux/amd64"
}

// BuildOf reads what the Go command wrote into the program.
func BuildOf(info *debug.BuildInfo) Build {
	b := Build{Commit: unknownCommit, Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH}
	if info == nil {
		return b
	}
	// Between tags Go makes up a version with hyphens, or "(devel)".
	if v, _, _ := strings.Cut(info.Main.Version, "+"); strings.HasPrefix(v, "v") && !strings.Contains(v, "-") {
		b.Tag = v
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.Commit = cmp.Or(s.Value, unknownCommit)
		case "vcs.time":
			b.Time = s.Value
		case "vcs.modified":
			b.Modified = s.Value == "true"
		}
	}
	return b
}

func (b Build) String() string {
	if b.Commit == unknownCommit {
		return fmt.Sprintf("surefret, unknown commit (%s, %s)", b.Go, b.System)
	}
	name, since := "surefret", ""
	if b.Tag != "" {
		name += " " + b.Tag
	}
	if b.Modified {
		since = ", changed since"
	}
	return fmt.Sprintf("%s, commit %.12s of %.10s%s (%s, %s)", name, b.Commit, b.Time, since, b.Go, b.System)
}
