package main_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Words of other programs for their piles, counters, grades and ages, and words of
// ours that became others, anywhere in a text.
var keptOut = regexp.MustCompile(`(?i)\b(reviews?|reviewed|reviewing|leech(es)?|decks?|(flash)?cards?|ease|(re)?learning|young|mature|suspended|streaks?|days in a row|not for me|skipped|skip this)\b`)

// These are kept out where they are all of a text: a label, a grade, a JSON key.
var keptOutAlone = strings.Fields("new due again hard good easy skip")

// allowed are words that a file may use: what older programs wrote, which must be
// read; a chord that everyone calls suspended; a note that a walk leaves out.
var allowed = map[string]string{
	"store/change.go":                    "skipped",
	"store/export.go":                    "review",
	"store/view.go":                      "review",
	"cmd/surefret/spoken/spoken.go":      "suspended",
	"drills/fretboard/fingering/walk.go": "skip",
	"drills/fretboard/grip.go":           "skip",
	"cmd/surefret/playwhat.go":           "skip",
	"cmd/surefret/cli/help.go":           "skip",
}

// odd are phrases that players read twice or not at all: a tenth is a shape, and bare wood,
// "surer" and "would pay" are nobody's words.
var odd = regexp.MustCompile(`(?i)tenths that would|over the aim|would pay|\bsurer\b|not for me|bare wood|nine in ten takes|since you sat|as you sat|is no answer here|that was it\b|heard for long|else is due|give like|own guitar and your ways|start included|roots included|counted from the major scale|half steps below it, the|within the aim of .* fluent|which fret, for the|which frets, for the`)

// TestWordsKeptOut reads every text in the code, every JSON key and every exported
// name outside tests.
func TestWordsKeptOut(t *testing.T) {
	const root = "../.."
	read, used := 0, map[string]bool{}
	err := filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, name, nil, 0)
		if err != nil {
			return err
		}
		refuse := func(at token.Pos, kind, text string) {
			bad := keptOut.FindString(text)
			if said := odd.FindString(text); said != "" && kind == "the text" {
				t.Errorf("%s:%d: %q reads oddly: %q", rel, fset.Position(at).Line, said, text)
			}
			if slices.Contains(keptOutAlone, strings.ToLower(text)) {
				bad = text
			}
			if bad == "" || kind == "the name" && bad == "New" { // a constructor's
				return
			}
			word := allowed[rel]
			used[rel] = true
			if word == "" || !strings.HasPrefix(strings.ToLower(bad), word) {
				t.Errorf("%s:%d: %s %q has %q", rel, fset.Position(at).Line, kind, text, bad)
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ImportSpec:
				return false
			case *ast.BasicLit:
				if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING {
					read++
					refuse(n.Pos(), "the text", text)
				}
			case *ast.Field:
				if n.Tag != nil {
					key, _, _ := strings.Cut(strings.TrimPrefix(n.Tag.Value, "`json:\""), "\"")
					key, _, _ = strings.Cut(key, ",")
					refuse(n.Pos(), "the key", strings.ReplaceAll(key, "_", " "))
				}
			case *ast.Ident:
				if n.Obj != nil && n.Obj.Pos() == n.Pos() && n.IsExported() {
					refuse(n.Pos(), "the name", words(n.Name))
				}
			case *ast.FuncDecl:
				if n.Name.IsExported() {
					refuse(n.Pos(), "the name", words(n.Name.Name))
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for file := range allowed {
		if !used[file] {
			t.Errorf("%s is allowed a word that it does not use", file)
		}
	}
	if read < 3000 {
		t.Errorf("only %d texts were read", read)
	}
}

var humps = regexp.MustCompile(`([a-z0-9])([A-Z])`)

// words puts spaces between the words of a name: "DailyBackup" is "Daily Backup".
func words(name string) string { return humps.ReplaceAllString(name, "$1 $2") }
