package main_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The script ./dev installs what a machine lacks. Here it meets machines made
// of stubs: a folder that is all of the PATH, with an apt-get that writes down
// what it was asked for and then puts more stubs there. That the real apt has
// packages of these names was seen in a minimal Debian.

// debian is what apt brings on a bare machine: the stubs of each package.
var debian = map[string][]string{
	"gcc": {"gcc"}, "libc6-dev": {"stdlib.h"}, "pkg-config": {"pkg-config"},
	"libasound2-dev": {"alsa.pc"}, "golang-go": {"go"},
}

const aptInstall = "apt-get install -y --no-install-recommends "

// stubs are the commands that packages bring. pkg-config knows ALSA and gcc
// finds headers only once those were installed too.
var stubs = map[string]string{
	"gcc":        `[ -e "$BIN/stdlib.h" ]`,
	"stdlib.h":   ``,
	"alsa.pc":    ``,
	"pkg-config": `[ -e "$BIN/alsa.pc" ]`,
	"go": `
case "$1 ${2:-}" in
"env GOVERSION") echo "go${STUB_GO:-1.26.8}" ;;
"env "*) ;;
"version ") [ "${GOPROXY:-}" != off ]; exit ;;
*) echo "go $* GOTOOLCHAIN=${GOTOOLCHAIN:-} GOFLAGS=${GOFLAGS:-} CGO_ENABLED=$CGO_ENABLED" >>"$LOG" ;;
esac
if [ "$1" = build ]; then
	mkdir -p bin
	printf '#!/bin/sh\necho "played: $* in $PWD"\nexit 7\n' >bin/surefret
	chmod +x bin/surefret
fi`,
}

// machine is one made-up machine.
type machine struct {
	t     *testing.T
	shell []string
	home  string   // the copy of the project
	bin   string   // all of its PATH
	env   []string // what differs from a machine of root's
}

// newMachine makes a Linux machine of root's with no tools and no manager.
func newMachine(t *testing.T, shell []string) *machine {
	m := &machine{t: t, shell: shell, home: t.TempDir(), bin: t.TempDir()}
	for _, name := range []string{"dev", "go.mod"} {
		text, err := os.ReadFile(filepath.Join("..", "..", name))
		if err != nil {
			t.Fatal(err)
		}
		m.write(filepath.Join(m.home, name), string(text))
	}
	for _, name := range strings.Fields("sh cat chmod cp cut dirname basename env grep mkdir printf rm sed sort") {
		path, err := exec.LookPath(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(path, filepath.Join(m.bin, name)); err != nil {
			t.Fatal(err)
		}
	}
	m.stub("uname", "echo ${STUB_SYSTEM:-Linux}")
	m.stub("id", "echo ${STUB_USER:-0}")
	return m
}

func (m *machine) write(path, text string) {
	m.t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		m.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o755); err != nil {
		m.t.Fatal(err)
	}
}

func (m *machine) stub(name, body string) {
	m.t.Helper()
	m.write(filepath.Join(m.bin, name), "#!/bin/sh\n"+body+"\n")
}

// has puts the stubs named on the machine.
func (m *machine) has(names ...string) {
	for _, name := range names {
		m.stub(name, stubs[name])
	}
}

// sells puts apt-get on the machine. It refuses a package that is not in the
// stock, and then installs nothing.
func (m *machine) sells(stock map[string][]string) {
	var arms strings.Builder
	for name, brings := range stock {
		fmt.Fprintf(&arms, "\t%s) take=\"$take %s\" ;;\n", name, strings.Join(brings, " "))
		for _, b := range brings {
			m.write(filepath.Join(m.home, "stock", b), "#!/bin/sh\n"+stubs[b]+"\n")
		}
	}
	m.stub("apt-cache", `echo "  Candidate: 2:1.24~2"`)
	m.stub("apt-get", `
echo "apt-get $*" >>"$LOG"
take=
for word; do
	case $word in
	-* | install | update) ;;
`+arms.String()+`	*) echo "no package $word"; exit 100 ;;
	esac
done
for file in $take; do cp "$STOCK/$file" "$BIN/"; done`)
}

// outcome is what one run of the script did.
type outcome struct {
	asked  []string // what package managers and Go were asked to do
	said   string   // standard error
	played string   // standard output
	code   int
}

// dev runs the script.
func (m *machine) dev(args ...string) outcome {
	m.t.Helper()
	log := filepath.Join(m.t.TempDir(), "log")
	cmd := exec.Command(m.shell[0], append(append(m.shell[1:len(m.shell):len(m.shell)], filepath.Join(m.home, "dev")), args...)...)
	cmd.Dir = m.bin
	var out, err strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &err
	cmd.Env = append([]string{
		"PATH=" + m.bin, "BIN=" + m.bin, "STOCK=" + filepath.Join(m.home, "stock"), "LOG=" + log,
		"HOME=" + m.home, "DEV_ROOT=" + filepath.Join(m.home, "root"), "SSL_CERT_FILE=" + filepath.Join(m.home, "go.mod"),
	}, m.env...)
	if e := cmd.Run(); e != nil && cmd.ProcessState == nil {
		m.t.Fatal(e)
	}
	o := outcome{said: err.String(), played: out.String(), code: cmd.ProcessState.ExitCode()}
	if text, e := os.ReadFile(log); e == nil {
		o.asked = strings.Split(strings.TrimSpace(string(text)), "\n")
	}
	return o
}

// expect fails the test unless the run ended with code, asked exactly this, and
// said each of the words.
func (o outcome) expect(t *testing.T, code int, asked []string, words ...string) {
	t.Helper()
	if o.code != code {
		t.Errorf("exit code %d, want %d; it said:\n%s", o.code, code, o.said)
	}
	if diff := cmp.Diff(asked, o.asked); diff != "" {
		t.Errorf("asked for (-want +got):\n%s\nit said:\n%s", diff, o.said)
	}
	for _, w := range words {
		if !strings.Contains(o.said, w) {
			t.Errorf("did not say %q, but:\n%s", w, o.said)
		}
	}
}

// onEachShell runs the test with every POSIX shell of this machine.
func onEachShell(t *testing.T, test func(t *testing.T, shell []string)) {
	found := map[string]bool{}
	for _, shell := range [][]string{{"sh"}, {"dash"}, {"busybox", "sh"}, {"bash", "--posix"}} {
		path, err := exec.LookPath(shell[0])
		if err != nil {
			continue
		}
		// Under most systems sh is one of the others by another name.
		if real, err := filepath.EvalSymlinks(path); err == nil {
			if found[real] {
				continue
			}
			found[real] = true
		}
		t.Run(strings.Join(shell, " "), func(t *testing.T) {
			t.Parallel()
			test(t, append([]string{path}, shell[1:]...))
		})
	}
	if len(found) == 0 {
		t.Skip("no POSIX shell on this machine")
	}
}

func TestDevInstallsWhatIsMissingThenStaysQuiet(t *testing.T) {
	onEachShell(t, func(t *testing.T, shell []string) {
		m := newMachine(t, shell)
		m.sells(debian)
		m.dev("tools").expect(t, 0, []string{"apt-get update", aptInstall + "gcc libc6-dev pkg-config libasound2-dev golang-go"}, "about to run: apt-get install gcc")
		second := m.dev("tools")
		second.expect(t, 0, nil)
		if second.said != "" {
			t.Errorf("nothing was to be done, but it said:\n%s", second.said)
		}
	})
}

func TestDevWithoutRightsOrAptSaysWhatToInstall(t *testing.T) {
	onEachShell(t, func(t *testing.T, shell []string) {
		m := newMachine(t, shell)
		m.dev("tools").expect(t, 1, nil, "install gcc with the C library's headers, pkg-config, ALSA's headers and Go 1.26.0", "Fedora gcc")
		m.env = []string{"STUB_USER=1000"}
		m.sells(debian)
		m.dev("tools").expect(t, 1, nil, "run 'apt-get install gcc libc6-dev pkg-config libasound2-dev golang-go' as root")
		m.stub("sudo", `echo "sudo $1" >>"$LOG"; "$@"`)
		m.dev("tools").expect(t, 0, []string{"sudo apt-get", "apt-get update", "sudo env", aptInstall + "gcc libc6-dev pkg-config libasound2-dev golang-go"})
	})
}

func TestDevBuildsSilentlyWithoutALSA(t *testing.T) {
	onEachShell(t, func(t *testing.T, shell []string) {
		m := newMachine(t, shell)
		m.env = []string{"STUB_USER=1000"}
		m.sells(debian)
		m.has("gcc", "stdlib.h", "go")
		m.dev("build").expect(t, 0, []string{
			"go build -buildvcs=false -o bin/surefret ./cmd/surefret GOTOOLCHAIN= GOFLAGS=-tags=silent CGO_ENABLED=1",
		}, "building without sound")
	})
}

func TestDevFindsAGoThatServes(t *testing.T) {
	build := func(toolchain string) string {
		return "go build -buildvcs=false -o bin/surefret ./cmd/surefret GOTOOLCHAIN=" + toolchain + " GOFLAGS= CGO_ENABLED=1"
	}
	tools := []string{"gcc", "stdlib.h", "pkg-config", "alsa.pc"}
	onEachShell(t, func(t *testing.T, shell []string) {
		t.Run("an older one fetches it", func(t *testing.T) {
			m := newMachine(t, shell)
			m.has(append(tools, "go")...)
			// Fedora's Go forbids fetching unless it is told otherwise.
			m.env = []string{"STUB_GO=1.22.2", "GOTOOLCHAIN=local"}
			m.dev("build").expect(t, 0, []string{build("go1.26.0+auto")}, "Go 1.22 is here and now fetches Go 1.26.0")
		})
		t.Run("one that cannot fetch is passed over", func(t *testing.T) {
			m := newMachine(t, shell)
			m.has(append(tools, "go")...)
			m.env = []string{"STUB_GO=1.18.1"}
			m.write(filepath.Join(m.home, "root/usr/local/go/bin/go"), "#!/bin/sh\nSTUB_GO=1.26.1\n"+stubs["go"])
			m.dev("build").expect(t, 0, []string{build("")})
		})
		t.Run("under a name of its own", func(t *testing.T) {
			m := newMachine(t, shell)
			m.has(tools...)
			m.sells(map[string][]string{"golang-1.23-go": {"go"}})
			m.stub("apt-cache", `
case "$*" in
search*) echo "golang-1.19-go - Go"; echo "golang-1.23-go - Go"; echo "golang-1.22-go - Go" ;;
*golang-go) echo "  Candidate: 2:1.18~0ubuntu2" ;;
*golang-1.23-go) echo "  Candidate: 1.23.1-1" ;;
esac`)
			m.dev("tools").expect(t, 0, []string{"apt-get update", aptInstall + "golang-1.23-go"})
		})
		t.Run("only too old ones on sale", func(t *testing.T) {
			m := newMachine(t, shell)
			m.has(tools...)
			m.sells(nil)
			m.stub("apt-cache", `case $1 in policy) echo "  Candidate: 2:1.19~1" ;; esac`)
			m.dev("tools").expect(t, 1, []string{"apt-get update"},
				"needs Go 1.26.0 (or any Go from 1.21 on, which fetches it), and apt-get has none to offer: install Go from https://go.dev/dl")
		})
	})
}

func TestDevRunHandsOverArgumentsFolderAndExitCode(t *testing.T) {
	onEachShell(t, func(t *testing.T, shell []string) {
		m := newMachine(t, shell)
		m.has("gcc", "stdlib.h", "pkg-config", "alsa.pc", "go")
		o := m.dev("run", "part", "move", "my song.txt", "--to", "Bb")
		if want := "played: part move my song.txt --to Bb in " + m.bin + "\n"; o.played != want {
			t.Errorf("printed %q, want %q", o.played, want)
		}
		if o.code != 7 || !strings.Contains(o.said, "the first build takes a minute") {
			t.Errorf("exit code %d, want the program's 7; it said:\n%s", o.code, o.said)
		}
	})
}

func TestDevInstallsOracles(t *testing.T) {
	onEachShell(t, func(t *testing.T, shell []string) {
		m := newMachine(t, shell)
		m.has("gcc", "stdlib.h", "pkg-config", "alsa.pc", "go")
		script, err := os.ReadFile(filepath.Join(m.home, "dev"))
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(script), "\noracle_modules='")
		modules, _, found := strings.Cut(rest, "'")
		if modules = strings.Join(strings.Fields(modules), " "); !found || !strings.Contains(modules, "tonal@") {
			t.Fatalf("dev lists the modules %q", modules)
		}
		m.stub("npm", `
echo "npm $*" >>"$LOG"
for module in `+modules+`; do
	mkdir -p "$SUREFRET_ORACLE/node_modules/${module%@*}"
	echo "  \"version\": \"${module##*@}\"," >"$SUREFRET_ORACLE/node_modules/${module%@*}/package.json"
done`)
		for _, name := range []string{"lilypond", "praat", "aubiopitch", "sqlite3", "tmux", "node", "chromium", "groff", "zsh", "fluidsynth", "espeak-ng", "pulseaudio"} {
			m.stub(name, "")
		}
		fonts := filepath.Join(m.home, "root", "usr", "share", "sounds", "sf2")
		if err := os.MkdirAll(fonts, 0o700); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"FluidR3_GM.sf2", "TimGM6mb.sf2"} {
			if err := os.WriteFile(filepath.Join(fonts, name), nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		m.sells(map[string][]string{"abcmidi": {"mftext"}, "sox": {"sox"}, "mandoc": {"mandoc"}, "fish": {"fish"}})
		m.dev("tools", "--oracles").expect(t, 0, []string{
			"apt-get update",
			aptInstall + "abcmidi sox mandoc fish",
			"npm install --no-audit --no-fund --prefix " + m.home + "/root/opt/oracle " + modules,
		})
		m.dev("tools", "--oracles").expect(t, 0, nil)
	})
}

func TestDevRejectsAnUnknownCommand(t *testing.T) {
	onEachShell(t, func(t *testing.T, shell []string) {
		newMachine(t, shell).dev("tset").expect(t, 2, nil, "no command 'tset'")
	})
}
