package main_test

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// Every package tells its story, and every exported name of those below the
// commands says what it is. A constant may share the comment of its group.
func TestEveryExportedNameHasAComment(t *testing.T) {
	for dir := range rooms {
		if strings.HasSuffix(dir, "...") {
			continue
		}
		fset := token.NewFileSet()
		var files []*ast.File
		names, _ := filepath.Glob(filepath.Join("../..", dir, "*.go"))
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(fset, name, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		p, err := doc.NewFromFiles(fset, files, "surefret/"+dir)
		if err != nil {
			t.Fatalf("%s: %v", dir, err)
		}
		named := map[string]string{"package " + p.Name: p.Doc}
		about := func(values []*doc.Value, funcs []*doc.Func) {
			for _, v := range values {
				for _, spec := range v.Decl.Specs {
					s := spec.(*ast.ValueSpec)
					named[s.Names[0].Name] = v.Doc + s.Doc.Text() + s.Comment.Text()
				}
			}
			for _, f := range funcs {
				if f.Name != "Error" && f.Name != "Unwrap" { // every error has those
					named[f.Recv+" "+f.Name] = f.Doc
				}
			}
		}
		if !strings.HasPrefix(dir, "cmd/") {
			about(append(p.Consts, p.Vars...), p.Funcs)
			for _, typ := range p.Types {
				named[typ.Name] = typ.Doc
				about(append(typ.Consts, typ.Vars...), append(typ.Funcs, typ.Methods...))
			}
		}
		for name, comment := range named {
			if strings.TrimSpace(comment) == "" {
				t.Errorf("%s: %s has no comment", dir, strings.TrimSpace(name))
			}
		}
	}
}
