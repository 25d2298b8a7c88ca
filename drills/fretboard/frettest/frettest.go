// Package frettest is for the tests of the rooms around the fretboard: a guitar, and
// tablature as players write it.
package frettest

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Guitar has six strings and 22 frets.
var Guitar = fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}

// Must ends a test that cannot go on after an error.
func Must(t interface {
	Helper()
	Fatal(args ...any)
}, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// Key reads a key.
func Key(t testing.TB, s string) theory.Key {
	t.Helper()
	k, err := theory.ParseKey(s)
	Must(t, err)
	return k
}

// OneSentence wants an error that is one clear sentence.
func OneSentence(t *testing.T, err error) {
	t.Helper()
	if err == nil {
		t.Error("bad input was taken")
	} else if s := err.Error(); strings.Contains(s, "\n") || strings.HasSuffix(s, ".") || len(s) < 20 {
		t.Errorf("not one clear sentence: %q", s)
	}
}

// AsWritten are songs of the Saltmarsh Five in tablature, written as players write: our
// own inventions.
var AsWritten = map[string]string{
	"plain": `Lantern on the Quay (riff)
Saltmarsh Five, as Wren plays it

e|-----------------|-----------------|
B|-----3-----------|-----------------|
G|---2---2---------|-2---2---2-------|
D|-0-------4h5p4-0-|---0---4---0-----|
A|-----------------|-----------------|
E|-----------------|-------------3---|
`,
	"no labels, uneven dashes, lyrics": `   G            D
   Low tide, high tide
-3------3--|-2----2---|
-3---3-----|-3--3----|
-0---0-----|-2-----2--|
-0---------|-0--------|
-2---------|---------|
-3---------|----------|

   all the boats come home        (twice)

|-----------|
|-----------|
|---------0-|
|---0-2-4---|
|-2---------|
|-----------|  x2
`,
	"Windows line ends and tabs": "Verse\t1\r\ne|--10--12--x--|\r\nB|--10--13--x--|\r\nG|---9--12--x--|\r\nD|-----------|\t\r\nA|--x---(5)----|\r\nE|-------------|\r\n\tend",
	"marks": `
e|--(5)--7~~~~--/9--|
B|--5h7p5-----------|
G|--5-h-7---7\5-----|
D|------x--x--------|
A|-----------3b5r3--|
E|--12/14-----------|
`,
	"two systems without a gap, annotations": `let ring ---------------|
e|--0--3--|
B|--1--0--|
G|--0--0--|
D|--2--0--|
A|--3--2--|
E|-----3--|
e|--0--0--|
B|--1--1--|
G|--2--2--|
D|--3--2--|
A|--3--0--|
E|--1-----|
P.M.---|
-----------------------------
capo 2 -- play it twice -- softly
`,
	"dashes from a word processor":  "e|–3–5–|\nB|–––––|\nG|–––––|\nD|–––––|\nA|–––––|\nE|–3–––|",
	"spaces and colons":             "e:---0---3--\nB:---1---0--\nG:---0---0--\nD:---2---0--\nA:---3---2--\nE:-------3--\n",
	"repeats":                       "e||:--0--:||\nB||:--1--:||\nG||:--0--:||\nD||*--2--*||\nA||*--3--*||\nE||:-----:||\n",
	"lines drawn on":                "e|--0--|--\nB|--1--|\nG|--0--|---\nD|--2--|  x2\nA|--3--|\nE|-----|-\n",
	"held and shaken":               "e|-5=====|\nB|~~~~~~~|\nG|-12~~~~|\nD|-7^9---|\nA|-7t12--|\nE|t12-h5-|\n",
	"numbers that overlap in steps": "e|------|\nB|------|\nG|-12---|\nD|-7^9--|\nA|-7t12-|\nE|--12--|\n",
	"numbered strings":              "1|--0--|\n2|--1--|\n3|--0--|\n4|--2--|\n5|--3--|\n6|-----|\n",
}
