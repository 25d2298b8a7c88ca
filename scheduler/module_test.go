package scheduler_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// A program of another module drives the planner by what is exported: items with
// kin, a log of item, right, seconds and instant, and now; the next item comes out,
// and why.
func TestAnotherModuleDrivesThePlanner(t *testing.T) {
	if testing.Short() {
		t.Skip("building a program takes seconds")
	}
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	sums, err := os.ReadFile(filepath.Join(root, "go.sum"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"go.mod": "module elsewhere\n\ngo 1.26.0\n\nrequire surefret v0.0.0\n\nreplace surefret => " + root + "\n",
		"go.sum": string(sums),
		"main.go": `package main

import (
	"fmt"
	"time"

	"surefret/scheduler"
)

func main() {
	p, err := scheduler.NewPlanner([]scheduler.Item{
		{ID: "low", Family: "note", Kin: []scheduler.Kin{{ID: "twin", Weight: 0.8}}},
		{ID: "twin", Family: "note", Kin: []scheduler.Kin{{ID: "low", Weight: 0.8}}},
	}, scheduler.Options{})
	if err != nil {
		panic(err)
	}
	day := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	p.Learn(scheduler.Answer{Item: "low", At: day, Right: true, Thinking: 1500 * time.Millisecond})
	c, ok := p.Next(day.AddDate(0, 0, 1), 10*time.Minute)
	fmt.Println(c.Item != "", c.Reason, ok)
}
`,
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.CommandContext(t.Context(), "go", "run", "-mod=mod", ".")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOFLAGS=", "GOPROXY=off", "GOWORK=off")
	out, err := cmd.CombinedOutput()
	if got := string(out); err != nil || got != "true its turn true\n" && got != "true first time true\n" {
		t.Errorf("%v\n%s", err, got)
	}
}
