package assemble_test

import (
	"fmt"
	"go/scanner"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// brindlecote reads the training machine.
func brindlecote(t testing.TB) *order.Code {
	t.Helper()
	src, err := os.ReadFile("../../cmd/coldstart/internal/school/office/brindlecote.machine")
	if err != nil {
		t.Fatal(err)
	}
	c, err := order.Read("brindlecote.machine", src)
	if err != nil {
		scanner.PrintError(t.Output(), err)
		t.FailNow()
	}
	return c
}

// assembled assembles texts that have to be in order.
func assembled(t testing.TB, c *order.Code, texts ...string) *assemble.Program {
	t.Helper()
	var sources []assemble.Source
	for i, text := range texts {
		sources = append(sources, assemble.Source{Name: fmt.Sprintf("%c.order", 'a'+i), Text: []byte(text)})
	}
	p, err := assemble.Assemble(c, sources...)
	if err != nil {
		scanner.PrintError(t.Output(), err)
		t.Fatalf("in:\n%s", strings.Join(texts, "\n"))
	}
	return p
}

// dump writes the words of a program, `address word` in octal, one a line.
func dump(p *assemble.Program) string {
	var b strings.Builder
	for at, w := range p.All() {
		fmt.Fprintf(&b, "%05o %06o\n", at, w)
	}
	return b.String()
}

func TestAssemble(t *testing.T) {
	tests := []struct {
		name, text, want string
	}{
		{"nothing", "", ""},
		{"remarks alone", "# nothing\n\n   # here either", ""},
		{"an order", "at 1000\n load A, 12", "01000 040012\n"},
		{"blanks left out, and a line end of two characters", "at 1000\nl:load A,12#x\r\n", "01000 040012\n"},
		{"a choice before a value", "at 1000\n load A, through 12", "01000 044012\n"},
		{"a choice by word and by number", "at 1000\n skip-if TC1, gap\n skip-if 4, 37", "01000 746041\n01001 746237\n"},
		{"labels ahead and behind", "at 1000\na-1: jump-near b\nb: c: jump-near a-1", "01000 560000\n01001 563776\n"},
		{"a small number below zero", "at 0\n load-small A, -3", "00000 643775\n"},
		{"a number where the page decides", "at 1000\n jump 12", "01000 540012\n"},
		{"a label where the page decides", "at 1000\n assume page = 2\n jump far\n at 12000\nfar: words 0",
			"01000 542000\n12000 000000\n"},
		{"an order of two words", "at 1000\n load-long A, here\n load-long B, -1", "01000 756000\n01001 001000\n01002 756400\n01003 777777\n"},
		{"words", "at 1000\n words 1, -1, here, -400000, 777777", "01000 000001\n01001 777777\n01002 001002\n01003 400000\n01004 777777\n"},
		{"sums of values", "at 1000\nl: words l + 5 - 2, -l, l - m, \"A\" + 1, 5-3\nm: words 5",
			"01000 001003\n01001 777000\n01002 777773\n01003 000102\n01004 000002\n01005 000005\n"},
		{"bits", "at 12345\nl: words l.14-11, l.10-0, l.0, 777.8-3, l.2 - 1", "12345 000002\n12346 002345\n12347 000001\n12350 000077\n12351 000000\n"},
		{"constants, above and below", "A-B = C-D + 1\nC-D = l.2-0\nat 1003\nl: words A-B, C-D", "01003 000004\n01004 000003\n"},
		{"here in a constant is where it stands", "at 1000\n words 0\nEND = here\n words 0, END", "01000 000000\n01001 000000\n01002 001001\n"},
		{"places", "at 1000\nl: words 1\n reserve 2\n words 2\n at l + 10\n words 3", "01000 000001\n01003 000002\n01010 000003\n"},
		{"the last address", "at 77777\n words 1", "77777 000001\n"},
		{"ascii", `at 0
 text ascii "A#~", 15, "B" + 1, ""`, "00000 000101\n00001 000043\n00002 000176\n00003 000015\n00004 000103\n"},
		// 0101, 0103, 0015 have an even, odd, odd number of ones.
		{"ascii with even parity", `at 0
 text ascii-even "AC", 15`, "00000 000101\n00001 000303\n00002 000215\n"},
		{"a sum over what stands below, modulo the word", "at 1000\n sum l, m\nl: words -1, 2\n jump-near l\nm: words m",
			// 777777 + 000002 + 563775 + 001004 = 1565002, and 565002 of it stay
			"01000 565002\n01001 777777\n01002 000002\n01003 563775\n01004 001004\n"},
		{"a sum of sums", "at 1000\n sum 1001, 1002\n sum 1003, 1003\n words 1, 2", "01000 000003\n01001 000002\n01002 000001\n01003 000002\n"},
	}
	c := brindlecote(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := assembled(t, c, tt.text)
			if diff := cmp.Diff(tt.want, dump(p)); diff != "" {
				t.Errorf("words of\n%s\n(-want +got)\n%s", tt.text, diff)
			}
		})
	}
}

// Sources share labels and blocks; places and assumptions each has for itself.
func TestAssembleSources(t *testing.T) {
	c := brindlecote(t)
	p := assembled(t, c,
		"block 1, 1000, 3\nassume page = 0\nstart: jump-near two\n words SIZE, 7\n",
		"SIZE = 5\nblock 0, 1400, 2\ntwo: jump-near start\n jump 3\n")
	if diff := cmp.Diff("01000 560377\n01001 000005\n01002 000007\n01400 563377\n01401 540003\n", dump(p)); diff != "" {
		t.Errorf("words (-want +got)\n%s", diff)
	}
	type part struct {
		number, first, count, line int
	}
	var blocks []part
	for _, b := range p.Blocks {
		blocks = append(blocks, part{b.Number, int(b.First), b.Count, b.At.Line})
	}
	want := []part{{0, 0o1400, 2, 2}, {1, 0o1000, 3, 1}}
	if diff := cmp.Diff(want, blocks, cmp.AllowUnexported(part{})); diff != "" {
		t.Errorf("blocks (-want +got)\n%s", diff)
	}
	var words []memory.Word
	for _, w := range p.Block(p.Blocks[1]) {
		words = append(words, w)
	}
	if diff := cmp.Diff([]memory.Word{0o560377, 5, 7}, words); diff != "" {
		t.Errorf("words of block 1 (-want +got)\n%s", diff)
	}
	if _, err := assemble.Assemble(c,
		assemble.Source{Name: "a", Text: []byte("at 10000\nassume page = 2\nl: jump l")},
		assemble.Source{Name: "b", Text: []byte("jump l")}); err == nil {
		t.Error("place and assumption of one source held in the next")
	}
}

// What a Program says of itself.
func TestProgram(t *testing.T) {
	p := assembled(t, brindlecote(t), "at 1000\nb: a: load A, 1\nc: words 5\nX = 1\n")
	w, ok := p.Word(0o1000)
	if !ok || !w.Order || w.Word != 0o040001 || w.At.Line != 2 || w.At.Filename != "a.order" {
		t.Errorf("word at 1000 is %+v, %v", w, ok)
	}
	if w, ok := p.Word(0o1001); !ok || w.Order || w.At.Line != 3 {
		t.Errorf("word at 1001 is %+v, %v", w, ok)
	}
	if w, ok := p.Word(0o1002); ok {
		t.Errorf("word at 1002 is %+v, and none was assembled", w)
	}
	var names []string
	for _, l := range p.Labels {
		names = append(names, fmt.Sprintf("%s %o", l.Name, l.Addr))
	}
	if diff := cmp.Diff([]string{"a 1000", "b 1000", "c 1001"}, names); diff != "" {
		t.Errorf("labels (-want +got)\n%s", diff)
	}
	if at, ok := p.Label("c"); !ok || at != 0o1001 {
		t.Errorf("label c is %o, %v", at, ok)
	}
	if _, ok := p.Label("X"); ok {
		t.Error("a constant is listed as a label")
	}
}

func TestProgramImage(t *testing.T) {
	c := brindlecote(t)
	im, err := assembled(t, c, "at 1000\n load-long A, 5\n").Image(c.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	w, from, ok := im.At(0o1001)
	if want := (memory.Origin{Kind: memory.Typed, File: "a.order"}); !ok || w != 5 || from != want || im.Len() != 2 {
		t.Errorf("word at 1001 is %o from %+v, %v, of %d; want 5 from %+v, true, of 2", w, from, ok, im.Len(), want)
	}
	im, err = assembled(t, c, "at 37777\n words 1\n words 2\n").Image(c.Geometry)
	if im != nil || err == nil || !strings.HasPrefix(err.Error(), "a.order:3:2: ") {
		t.Errorf("a word where nothing answers: image %v, error %v", im, err)
	}
}

// Addresses of 64 bits: whatever stands near the last of them is refused or comes back, and nothing wraps round.
func TestAssembleWideAddresses(t *testing.T) {
	c := &order.Code{Complement: "twos", Geometry: memory.Geometry{Style: memory.Style{Radix: 16}, Width: 8, AddrBits: 64}}
	p := assembled(t, c, "block 1, 0FFFFFFFFFFFFFFFD, 2\n words 1, 2")
	if len(p.Words) != 2 || p.Words[1].Addr != 1<<64-2 {
		t.Errorf("words are %+v", p.Words)
	}
	for _, text := range []string{"at 0FFFFFFFFFFFFFFFF\n words 1", "block 1, 0FFFFFFFFFFFFFFFE, 2", "at 0\n reserve 0FFFFFFFFFFFFFFFF\n words 1"} {
		if p, err := assemble.Assemble(c, assemble.Source{Text: []byte(text)}); err == nil {
			t.Errorf("%s: gave %+v", text, p)
		}
	}
}

func ExampleAssemble() {
	src, err := os.ReadFile("../../cmd/coldstart/internal/school/office/brindlecote.machine")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := order.Read("brindlecote.machine", src)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := assemble.Assemble(c, assemble.Source{Name: "row.order", Text: []byte(`
LAMPS   = 760                      # first lamp row
        at 1000
start:  load-small A, 1
next:   store-base LAMPS
        rotate-left A, 1
        jump-near next
`)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s", assemble.Recite(c, p.All()))
	// Output:
	//         at 001000
	//         load-small A, 1                 # 001000  640001
	//         store-base 760                  # 001001  520760
	//         rotate-left A, 1                # 001002  706010
	//         jump-near 001001                # 001003  563775
}

func BenchmarkAssemble(b *testing.B) {
	c := brindlecote(b)
	var text strings.Builder
	text.WriteString("at 0\n")
	for i := range 10000 {
		fmt.Fprintf(&text, "l-%d: jump-near l-%d  # on\n", i, i/2*2)
	}
	source := assemble.Source{Name: "long.order", Text: []byte(text.String())}
	for b.Loop() {
		if _, err := assemble.Assemble(c, source); err != nil {
			b.Fatal(err)
		}
	}
}
