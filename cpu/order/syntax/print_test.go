package syntax

import (
	"errors"
	"fmt"
	"go/scanner"
	"go/token"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// office is the machine file of the training office, the language by example.
const office = "../../../cmd/coldstart/internal/school/office/brindlecote.machine"

// read gives a file that the test needs.
func read(t testing.TB, name string) string {
	src, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(src)
}

// sameAgain checks that printing f loses nothing but places and comments: its text parses to an equal tree, and prints
// as itself.
func sameAgain(t *testing.T, f *File, src string) {
	t.Helper()
	text := Print(f)
	again, err := Parse(f.Name, text)
	if err != nil {
		t.Fatalf("what Print made does not parse: %v\ntyped:\n%s\nprinted:\n%s", err, src, text)
	}
	misplace(reflect.ValueOf(f))
	misplace(reflect.ValueOf(again))
	if !reflect.DeepEqual(f, again) {
		t.Fatalf("parsed, printed and parsed again (-first +again):\n%s\ntyped:\n%s\nprinted:\n%s", cmp.Diff(f, again), src, text)
	}
	if twice := Print(again); string(twice) != string(text) {
		t.Fatalf("printed twice:\n%s\nwant the text printed first:\n%s", twice, text)
	}
}

// misplace clears every position of a tree, so that trees of differently laid out texts compare equal.
func misplace(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			misplace(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			misplace(v.Index(i))
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[token.Position]() {
			v.SetZero()
			return
		}
		for i := range v.NumField() {
			misplace(v.Field(i))
		}
	}
}

func TestPrintOffice(t *testing.T) {
	src := read(t, office)
	f, err := Parse("office", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	sameAgain(t, f, src)
	// The file is typed in the printer's layout but for comments, blank lines, the places of page references, and brackets
	// that change nothing.
	typed := strings.Replace(src, "(v and not B) or (A and B)", "v and not B or A and B", 1)
	if diff := cmp.Diff(plain(typed), plain(string(Print(f)))); diff != "" {
		t.Errorf("the office's file as printed (-typed +printed):\n%s", diff)
	}
}

// plain gives the lines of a text without comments, blank lines, and more than one blank between words.
func plain(text string) (lines []string) {
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(line, "#")
		if words := strings.Fields(line); len(words) > 0 && words[0] != "pattern" { // Print groups fixed bits
			lines = append(lines, strings.Join(words, " "))
		}
	}
	return lines
}

func TestPrintDerivedFiles(t *testing.T) {
	g := grammar(t)
	statements := map[string]bool{}
	for seed := range uint64(1000) {
		d := newDeriver(t, g, seed)
		for range 12 {
			d.production("Statement", 14, true)
		}
		src := d.out.String()
		f, err := Parse("derived", []byte(src))
		if err != nil {
			t.Fatalf("seed %d: text of the grammar does not parse: %v\n%s", seed, err, src)
		}
		sameAgain(t, f, src)
		for _, s := range f.Statements {
			statements[fmt.Sprintf("%T", s)] = true
		}
	}
	if len(statements) != 26 {
		t.Errorf("derived %d kinds of statement, want all 26: %v", len(statements), statements)
	}
}

// What parses prints to a text that parses to an equal tree and prints as itself; what does not parse gives no tree, and
// errors in order.
func FuzzPrint(f *testing.F) {
	f.Add(read(f, office))
	f.Add(read(f, "testdata/errors.machine"))
	f.Add(doubtful)
	_, examples := blocks()
	for _, example := range examples {
		f.Add(example)
	}
	f.Fuzz(func(t *testing.T, src string) {
		file, err := Parse("fuzz", []byte(src))
		if err == nil {
			sameAgain(t, file, src)
			return
		}
		var list scanner.ErrorList
		if file != nil || !errors.As(err, &list) || len(list) == 0 {
			t.Fatalf("Parse gave %v and %v, want no file and a list of errors", file, err)
		}
		if !slices.IsSortedFunc(list, func(a, b *scanner.Error) int { return a.Pos.Offset - b.Pos.Offset }) {
			t.Fatalf("errors out of order:\n%v", list)
		}
		for _, e := range list {
			if e.Pos.Line < 1 || e.Pos.Column < 1 || strings.ContainsFunc(e.Msg, func(r rune) bool { return r < ' ' }) {
				t.Fatalf("error %q at %v", e.Msg, e.Pos)
			}
		}
	})
}

func ExamplePrint() {
	f, err := Parse("millrace.machine", []byte("order add r,a page 3-5 ?  # as copied\npattern 0011rr0aaaaaaaaaaa\ncost 2\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s", Print(f))
	// Output:
	// order     add r, a                                  page 3-5 ?
	//   pattern 0011 rr 0 aaaaaaaaaaa
	//   cost    2
}

func ExampleParse() {
	_, err := Parse("millrace.machine", []byte("regster A, B: 8 bits\nflip-flop minus; zero\n"))
	var list scanner.ErrorList
	if errors.As(err, &list) {
		for _, e := range list {
			fmt.Println(e)
		}
	}
	// Output:
	// millrace.machine:1:1: expected a statement, a clause or a transfer, found "regster"; did you mean register
	// millrace.machine:2:16: expected page, "?" or the end of the line, found ";"
}
