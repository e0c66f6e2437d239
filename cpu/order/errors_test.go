package order

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// expectation is the comment at the end of a line that says which error should stand there.
var expectation = regexp.MustCompile(`### (".*")\s*$`)

// TestErrors reads testdata/errors.machine, whose comments say which line has which error: every error said there must
// come, and no other.
func TestErrors(t *testing.T) {
	for _, chunk := range chunks(t) {
		src, above := base+chunk.text, strings.Count(base, "\n")
		if strings.HasPrefix(chunk.text, "# whole") {
			src, above = chunk.text, 0
		}
		t.Run(chunk.name, func(t *testing.T) {
			code, err := Read("errors.machine", []byte(src))
			list, ok := err.(scanner.ErrorList)
			if code != nil || !ok {
				t.Fatalf("Read gave %v and %v, want an error list", code, err)
			}
			wanted := wants(t, chunk.text)
			for _, e := range list {
				at := e.Pos.Line - above
				if want := wanted[at]; want == nil || !want.MatchString(e.Msg) {
					t.Errorf("line %d: %q, want %v", chunk.line+at, e.Msg, want)
				}
				delete(wanted, at)
			}
			for at, want := range wanted {
				t.Errorf("line %d: no error, want %v", chunk.line+at, want)
			}
		})
	}
}

// tooMuch are inputs that break a bound, too long to be written down.
func tooMuch() map[string]string {
	var names, group, more strings.Builder
	for i := range 4097 {
		fmt.Fprintf(&names, "flip-flop f%d\n", i)
	}
	// Two groups of 100 values of 256 are 10,000 pairs; one order may have so many, two may not.
	for i := range 99 {
		fmt.Fprintf(&group, ", %08b r%d", i+1, i)
		fmt.Fprintf(&more, "register r%d: 18 bits\n", i)
	}
	for _, letter := range []string{"g", "h"} {
		fmt.Fprintf(&more, "group %s: 00000000 A%s\n", letter, group.String())
	}
	for i := range 2 {
		fmt.Fprintf(&more, "order more%d g, h\n  pattern 1%b gggggggg hhhhhhhh\n", i, i)
	}
	var lets, entries strings.Builder
	for i := range 201 {
		fmt.Fprintf(&lets, "  let v%d = A\n", i)
	}
	// Three clauses of 64 entries stand for 262,144 orders.
	for i := range 64 {
		fmt.Fprintf(&entries, ", %06b e%d = (z)", i, i)
	}
	sheets := strings.Repeat("mode far page 1 replaces page 2\n", 51)
	each := strings.TrimPrefix(entries.String(), ", ")
	repeated := fmt.Sprintf("order r-*-*-*\n  pattern aaaaaa bbbbbb cccccc\n  each a: %s\n  each b: %s\n  each c: %s\n", each, each, each)
	return map[string]string{
		"the lines of order many have 201 lets":                        "order many\n  pattern 0001 **************\n  does\n" + lets.String(),
		"mode far stands here for the 51th time":                       sheets,
		"order r-*-*-* stands for more than 4096 orders":               repeated,
		"register f4096 is one too many: 4096 can be declared":         names.String(),
		"with order more1 the patterns come to more than 16384, since": more.String(),
	}
}

// TestErrorsTooMuch reads files that break a bound.
func TestErrorsTooMuch(t *testing.T) {
	for want, src := range tooMuch() {
		_, err := Read("much.machine", []byte(base+src))
		if got := sentences(err); !strings.Contains(got, want) {
			t.Errorf("Read gave %q, want %q in it", got, want)
		}
	}
}

// A chunk is one input of the errors file.
type chunk struct {
	name, text string
	line       int // of the file, above its first
}

// chunks splits the errors file at lines of three hyphens; the first is a heading.
func chunks(t *testing.T) []chunk {
	t.Helper()
	file, err := os.ReadFile(filepath.Join("testdata", "errors.machine"))
	if err != nil {
		t.Fatal(err)
	}
	var list []chunk
	line := 0
	for i, text := range strings.Split(string(file), "---\n") {
		if i > 0 {
			name := strings.TrimLeft(strings.SplitN(text, "\n", 2)[0], "# ")
			list = append(list, chunk{name, text, line})
		}
		line += strings.Count(text, "\n") + 1
	}
	return list
}

// wants gives the errors wanted in a chunk by its lines. One that stands alone below `# whole` is meant for the first line.
func wants(t *testing.T, text string) map[int]*regexp.Regexp {
	t.Helper()
	wanted := map[int]*regexp.Regexp{}
	for i, line := range strings.Split(text, "\n") {
		m := expectation.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		pattern, err := strconv.Unquote("`" + strings.ReplaceAll(m[1][1:len(m[1])-1], "`", ".") + "`")
		if err != nil {
			t.Fatalf("%s: %v", m[1], err)
		}
		if strings.HasPrefix(line, "###") {
			i = 0
		}
		wanted[i+1] = regexp.MustCompile(strings.ReplaceAll(pattern, `\"`, `"`))
	}
	return wanted
}

// TestErrorsTotal holds the errors file against the code: each sentence the checker can say must be met by some chunk.
func TestErrorsTotal(t *testing.T) {
	var said []string
	for _, chunk := range chunks(t) {
		src := base + chunk.text
		if strings.HasPrefix(chunk.text, "# whole") {
			src = chunk.text
		}
		_, err := Read("errors.machine", []byte(src))
		for _, e := range err.(scanner.ErrorList) {
			said = append(said, e.Msg)
		}
	}
	for _, src := range tooMuch() {
		_, err := Read("much.machine", []byte(base+src))
		for _, e := range err.(scanner.ErrorList) {
			said = append(said, e.Msg)
		}
	}
	formats := formats(t)
	if len(formats) < 50 {
		t.Fatalf("only %d sentences found in the code: the search for them is broken", len(formats))
	}
	verb := regexp.MustCompile(`%[a-z]`)
next:
	for _, format := range formats {
		if format == "%v" {
			continue // what a Style says of a number; its own tests have those
		}
		want := regexp.MustCompile("^" + strings.Join(quoteAll(verb.Split(format, -1)), ".*") + "$")
		for _, msg := range said {
			if want.MatchString(msg) {
				continue next
			}
		}
		t.Errorf("no chunk of the errors file meets %q", format)
	}
}

// quoteAll makes texts match but themselves.
func quoteAll(texts []string) []string {
	for i, text := range texts {
		texts[i] = regexp.QuoteMeta(text)
	}
	return texts
}

// formats are the sentences of all calls to errorf in this package.
func formats(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) < 2 {
				return true
			}
			if f, ok := call.Fun.(*ast.SelectorExpr); !ok || f.Sel.Name != "errorf" {
				return true
			}
			if lit, ok := call.Args[1].(*ast.BasicLit); ok {
				format, _ := strconv.Unquote(lit.Value)
				found = append(found, format)
			}
			return true
		})
	}
	return found
}

// A store that no host could hold is refused where it stands, and not left out.
func TestStoreTooLarge(t *testing.T) {
	const file = `machine  "Vast"
numbers  hexadecimal, bit 0 at right
word     16 bits, twos complement
address  32 bits
counter  P: 32 bits, holds next order
store    S0 00000000-000000FF
store    S1 10000000-10FFFFFF
order    halt
  pattern 0000 0000 0000 0000
  does    halt
`
	const want = "vast.machine:7:10: store S1: with it the areas hold more than 16777216 words in all; name only the ranges that are fitted"
	if _, err := Read("vast.machine", []byte(file)); err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}
