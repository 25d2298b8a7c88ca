package fretboard

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/theory"
)

func spellInts(ns []int) string { return strings.Trim(fmt.Sprint(ns), "[]") }

// must ends a test that cannot go on after an error.
func must(t interface {
	Helper()
	Fatal(args ...any)
}, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func key(t testing.TB, s string) theory.Key {
	t.Helper()
	k, err := theory.ParseKey(s)
	must(t, err)
	return k
}
