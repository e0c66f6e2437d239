package main

import (
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// levels is the import table: a package may import those on strictly lower levels, minus what bans says. A package that
// is not in it has no place in the house yet; give it one here, on purpose.
var levels = map[string]int{
	"memory":                        0,
	"loader/list":                   0,
	"loader/hexfile":                0,
	"cpu/channel/code":              0,
	"cpu/order/syntax":              1,
	"loader/tape":                   1,
	"memory/storetest":              1,
	"memory/march":                  1,
	"memory/overlay":                1,
	"cpu/order":                     2,
	"loader":                        2,
	"loader/splice":                 2,
	"loader/guess":                  2,
	"cpu/order/ruler":               3,
	"cpu/assemble":                  3,
	"cpu/internal/plan":             3,
	"cpu/internal/oracle":           3,
	"cpu":                           4,
	"cpu/assemble/template":         4,
	"cpu/panel":                     5,
	"cpu/channel":                   5,
	"cpu/order/proof":               5, // it carries out the worked examples of a machine file on a machine
	"cpu/duplex":                    6,
	"cpu/channel/plant":             6, // its ports are devices; the rooms below know none of them by name
	"cpu/jam":                       7,
	"debug/watch":                   7,
	"debug/trail":                   7,
	"debug/picture":                 7,
	"debug":                         8,
	"debug/bringup":                 8,
	"debug/bridge":                  8,
	"debug/campaign":                8,
	"debug/suspect":                 9,
	"debug/slips":                   9,
	"debug/vouch":                   9,
	"debug/repl":                    9,
	"debug/lesson":                  9,
	"debug/adapter":                 9,
	"debug/triage":                  10,
	"debug/docket":                  10,
	"debug/report":                  10,
	"cmd/coldstart/internal/school": 11,
	schoolGen:                       11,
	"cmd/coldstart/internal/cli":    cliLevel,
	"cmd/coldstart":                 13,
}

// cliLevel is where the host begins: below it nothing opens a file by name, prints, reads a wall clock or exits.
const cliLevel = 12

// schoolGen makes the embedded files of the training office, so it alone below cli reads and writes files.
const schoolGen = "cmd/coldstart/internal/school/gen"

// bans forbid what the levels alone would let through, to all shipped files under from.
var bans = []struct{ from, to, but string }{
	{from: "cpu", to: "loader", but: "loader/list"},
	{from: "loader", to: "cpu"},
	{from: "memory", to: "cpu"},
	{from: "memory", to: "loader"},
	{from: "debug/watch", to: "cpu/jam"}, // a judge who knows the fault proves nothing
	{from: "debug/trail", to: "cpu/jam"},
	{from: "debug/bringup", to: "cpu/jam"},
	{from: "debug/vouch", to: "cpu/jam"},
}

// testOnly are the packages of our own that are made for tests and never shipped.
var testOnly = []string{"memory/storetest", "cpu/internal/oracle"}

// homes gives each library from outside the one package that may import it; "" is tests, of any package.
var homes = map[string]string{
	"github.com/spf13/cobra":          "cmd/coldstart/internal/cli",
	"github.com/google/renameio/v2":   "cmd/coldstart/internal/cli",
	"github.com/peterh/liner":         "debug/repl",
	"golang.org/x/sync":               "debug/campaign",
	"github.com/google/go-cmp":        "",
	"github.com/rogpeppe/go-internal": "",
	"golang.org/x/exp":                "",
	"golang.org/x/arch":               "",
}

// hostly are the standard packages that reach the host, and who below cli may import them.
var hostly = map[string][]string{
	"os":            {schoolGen, "debug/repl"}, // repl owns its terminal
	"os/exec":       nil,
	"os/signal":     {"debug/repl"},
	"path/filepath": {schoolGen},
	"log":           {schoolGen},
	"log/slog":      nil,
	"net":           nil,
	"net/http":      nil,
	"syscall":       nil,
}

// calls are functions of the standard library that nobody below cli uses, with a reason each.
var calls = map[string]string{
	"time.Now": "reads a wall clock", "time.Since": "reads a wall clock", "time.Until": "reads a wall clock",
	"time.Sleep": "waits for a wall clock", "time.After": "waits for a wall clock", "time.Tick": "waits for a wall clock",
	"time.NewTimer": "waits for a wall clock", "time.NewTicker": "waits for a wall clock", "time.AfterFunc": "waits for a wall clock",
	"fmt.Print": "prints", "fmt.Printf": "prints", "fmt.Println": "prints",
	"os.Exit": "exits", "os.Open": "opens a file by name", "os.OpenFile": "opens a file by name", "os.Create": "opens a file by name",
	"os.ReadFile": "opens a file by name", "os.WriteFile": "opens a file by name", "os.ReadDir": "opens a folder by name",
}

// goStatements is the one package that may start goroutines.
const goStatements = "debug/campaign"

// rootNames are the only names in the root folder; ones with a dot in front may come and go.
var rootNames = []string{"DEVELOPERS.md", "README.md", "cmd", "cpu", "debug", "go.mod", "go.sum", "loader", "memory", "testdata"}

// maxLines is the length above which a file holds more than one idea.
const maxLines = 450

// house is the root folder of the module.
var house = os.DirFS("../..")

func TestImportsRunDownhill(t *testing.T) {
	files := readHouse(t, house)
	if len(files) < 20 {
		t.Fatalf("read %d Go files; the house has more, so this looks in the wrong place", len(files))
	}
	for _, wrong := range checkLayout(files) {
		t.Error(wrong)
	}
}

func TestNoFileIsTooLong(t *testing.T) {
	for _, f := range readHouse(t, house) {
		if f.lines > maxLines && !f.generated {
			t.Errorf("%s has %d lines, more than %d: move an idea out of it", f.path, f.lines, maxLines)
		}
	}
}

// TestEveryPackageHasItsComment wants one package comment. A manual too long for one file goes on in files doc_*.go, which
// go doc shows after doc.go.
func TestEveryPackageHasItsComment(t *testing.T) {
	has := map[string]int{}
	for _, f := range readHouse(t, house) {
		if !f.test && !strings.HasPrefix(path.Base(f.path), "doc_") {
			has[f.pkg] += f.docs
		}
	}
	for pkg, docs := range has {
		if docs != 1 {
			t.Errorf("%s has %d package comments, want 1", pkg, docs)
		}
	}
}

func TestRootFolder(t *testing.T) {
	entries, err := fs.ReadDir(house, ".")
	if err != nil {
		t.Fatal(err)
	}
	ignored, err := fs.ReadFile(house, ".gitignore")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, e := range entries {
		name := e.Name()
		found[name] = true
		leftover := slices.Contains(strings.Fields(string(ignored)), "/"+name)
		if !strings.HasPrefix(name, ".") && !slices.Contains(rootNames, name) && !leftover {
			t.Errorf("%s stands in the root folder, which holds only %v", name, rootNames)
		}
	}
	for _, name := range rootNames {
		if !found[name] && name != "testdata" { // a room that opens when something needs it
			t.Errorf("%s is missing in the root folder", name)
		}
	}
}

// TestLayoutIsChecked puts one deliberate wrong into a small house each time; it must be found, and nothing else.
func TestLayoutIsChecked(t *testing.T) {
	tests := []struct{ name, path, source, want string }{
		{"downhill is fine", "cpu/a.go", `package cpu; import _ "coldstart/memory"`, ""},
		{"uphill", "cpu/order/a.go", `package order; import _ "coldstart/cpu"`, "imports coldstart/cpu, which is not below it"},
		{"same level", "cpu/jam/a.go", `package jam; import _ "coldstart/debug/watch"`, "imports coldstart/debug/watch, which is not below it"},
		{"uphill in a test", "cpu/order/a_test.go", `package order_test; import _ "coldstart/cpu/assemble"`, ""},
		{"no place", "loader/cards/a.go", `package cards`, "loader/cards has no level"},
		{"import without a place", "debug/a.go", `package debug; import _ "coldstart/loader/cards"`, "imports coldstart/loader/cards, which is not below it"},
		{"banned", "cpu/channel/a.go", `package channel; import _ "coldstart/loader/tape"`, "never imports loader"},
		{"allowed past a ban", "cpu/channel/a.go", `package channel; import _ "coldstart/loader/list"`, ""},
		{"made for tests", "cpu/a.go", `package cpu; import _ "coldstart/cpu/internal/oracle"`, "is for tests"},
		{"made for tests, in one", "cpu/a_test.go", `package cpu; import _ "coldstart/cpu/internal/oracle"`, ""},
		{"library at home", "debug/repl/a.go", `package repl; import _ "github.com/peterh/liner"`, ""},
		{"library abroad", "debug/a.go", `package debug; import _ "github.com/peterh/liner"`, "belongs to debug/repl"},
		{"library abroad in a test", "debug/a_test.go", `package debug; import _ "github.com/peterh/liner"`, "belongs to debug/repl"},
		{"test library shipped", "debug/a.go", `package debug; import _ "github.com/google/go-cmp/cmp"`, "belongs to tests"},
		{"test library in a test", "debug/a_test.go", `package debug; import _ "github.com/google/go-cmp/cmp"`, ""},
		{"library nobody knows", "debug/a.go", `package debug; import _ "example.org/x"`, "has no home"},
		{"name that only begins alike", "debug/a_test.go", `package debug; import _ "github.com/google/go-cmpx"`, "has no home"},
		{"files below cli", "loader/a.go", `package loader; import _ "os"`, "imports os"},
		{"files in a test", "loader/a_test.go", `package loader; import _ "os"`, ""},
		{"files in cli", "cmd/coldstart/internal/cli/a.go", `package cli; import _ "os"`, ""},
		{"testing shipped", "cpu/a.go", `package cpu; import _ "testing"`, "imports testing"},
		{"dot import", "cpu/a.go", `package cpu; import . "fmt"`, "imports fmt with a dot"},
		{"clock", "cpu/a.go", `package cpu; import "time"; var t = time.Now()`, "time.Now reads a wall clock"},
		{"clock under another name", "cpu/a.go", `package cpu; import t "time"; var x = t.Now`, "time.Now reads a wall clock"},
		{"a method that is called alike", "cpu/a.go", `package cpu; var time struct{ Now func() }; var x = time.Now`, ""},
		{"printing", "cpu/a.go", `package cpu; import "fmt"; func f() { fmt.Println() }`, "fmt.Println prints"},
		{"printing by the language", "cpu/a.go", `package cpu; func f() { println() }`, "println prints"},
		{"exit from repl", "debug/repl/a.go", `package repl; import "os"; func f() { os.Exit(1) }`, "os.Exit exits"},
		{"goroutine", "debug/a.go", `package debug; func f() { go f() }`, "starts a goroutine"},
		{"goroutine in a campaign", "debug/campaign/a.go", `package campaign; func f() { go f() }`, ""},
		{"goroutine in cli", "cmd/coldstart/internal/cli/a.go", `package cli; func f() { go f() }`, "starts a goroutine"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := readHouse(t, fstest.MapFS{tt.path: {Data: []byte(tt.source)}})
			got := checkLayout(files)
			if tt.want == "" {
				if len(got) != 0 {
					t.Errorf("%s: %s\ngot %q, want nothing", tt.path, tt.source, got)
				}
				return
			}
			if len(got) != 1 || !strings.Contains(got[0], tt.want) || !strings.HasPrefix(got[0], tt.path) {
				t.Errorf("%s: %s\ngot %q, want one with %q", tt.path, tt.source, got, tt.want)
			}
		})
	}
}
