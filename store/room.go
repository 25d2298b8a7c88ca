package store

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// newRoom makes a hidden folder in dir, for the owner alone, where files are made
// before they get their names. Its name says which process made it. The caller
// removes it; sweep does so for one that was killed.
func newRoom(dir string) (string, error) {
	return os.MkdirTemp(dir, fmt.Sprintf(".surefret-%s-%d-*", fingerprint(), os.Getpid()))
}

// sweep removes the rooms in dir whose owner is dead and, where that cannot be
// told, those that are more than a day old now.
func sweep(dir string, now time.Time) {
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), ".surefret-")
		if !ok {
			continue
		}
		machine, rest, _ := strings.Cut(rest, "-")
		owner, _, _ := strings.Cut(rest, "-")
		pid, err := strconv.Atoi(owner)
		dead := err == nil && machine == fingerprint() && pid != os.Getpid() && !alive(pid)
		if info, err := e.Info(); err == nil && (dead || now.Sub(info.ModTime()) > 24*time.Hour) {
			os.RemoveAll(filepath.Join(dir, e.Name())) // what stays is tried again at the next start
		}
	}
}
