package order

import (
	"fmt"
	"go/scanner"
	"os"
	"strings"
	"testing"

	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// left is a machine that numbers bits from 1 at the left, and keeps narrow words beside wide ones.
const left = `machine   "Left"            page 1
issue     "second"
numbers   hexadecimal, bit 1 at left
word      12 bits, sign-magnitude
address   8 bits
counter   P: 8 bits, holds this order
register  A, B: 12 bits
store     W 00-7F
  parity  all even over 1-12
  chips   C1-C12 for bits 1-12, C13 for all parity
store     N 80-0BF: 8 bits
  wired
lamps     80-81: bits 1-4, plug-in LD
group     r: 0 A, 1 B
order     halt a, r             page 7 ?
  pattern 0110 aa?*r aaa / 1 rr rr aaaaaaa
  operand a as P + cut(a, 8)
  does    A.1-4 <- 0F; halt
  cost    3
order     narrow
  pattern 1000 0000
  check   "10000000" reads "narrow"
  check   A = 0F, store[10] = 0FFF : B = 0
`

func TestReadStore(t *testing.T) {
	code := mustRead(t, strings.Replace(left, "1 rr rr aaaaaaa", "11111 aaaaaaa", 1))
	chips := []memory.Chip{}
	for i := range 13 {
		column := 11 - i // C1 holds bit 1, the leftmost
		if i == 12 {
			column = 12 // the parity column
		}
		chips = append(chips, memory.Chip{Name: fmt.Sprintf("C%d", i+1), Column: column})
	}
	want := memory.Geometry{
		Style: memory.Style{Radix: 16, FirstBit: 1, FromLeft: true},
		Width: 12, AddrBits: 8,
		Areas: []memory.Area{
			{Name: "W", First: 0, Last: 0x7F, Width: 12, Parity: []memory.Parity{{Name: "all", Hi: 11, Lo: 0}}, Chips: chips},
			{Name: "N", First: 0x80, Last: 0xBF, Width: 8, Wired: true},
		},
	}
	if diff := cmp.Diff(want, code.Geometry); diff != "" {
		t.Errorf("geometry (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]Lamps{{First: 0x80, Last: 0x81, Hi: 7, Lo: 4, PlugIn: "LD"}}, code.Lamps); diff != "" {
		t.Errorf("lamps stand in the narrow store (-want +got):\n%s", diff)
	}
}

func TestReadOrder(t *testing.T) {
	code := mustRead(t, strings.Replace(left, "1 rr rr aaaaaaa", "11111 aaaaaaa", 1))
	o := code.Order("halt")
	a := &Field{Name: "a", Width: 12, Pieces: []Piece{{0, 7, 6}, {0, 2, 0}, {1, 6, 0}}}
	r := &Field{Name: "r", Number: 1, Width: 1, Pieces: []Piece{{0, 3, 3}}, Group: []*Register{code.Register("A"), code.Register("B")}}
	want := []Pattern{{Mask: 0b1111 << 8, Value: 0b0110 << 8, Unknown: 1 << 5, Width: 12}, {Mask: 0b11111 << 7, Value: 0b11111 << 7, Width: 12}}
	if diff := cmp.Diff(want, o.Patterns); diff != "" {
		t.Errorf("patterns (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]*Field{a, r}, o.Fields); diff != "" {
		t.Errorf("fields (-want +got):\n%s", diff)
	}
	if o.Page != "7" || !o.Doubt || o.Cost != 3 || o.Length() != 2 || !o.Operands[0].Free {
		t.Errorf("page %q, doubt %v, cost %d, length %d, free %v; want 7, true, 3, 2, true", o.Page, o.Doubt, o.Cost, o.Length(), o.Operands[0].Free)
	}
	words := []memory.Word{0b0110_10_11_1_101, 0b11111_0000011}
	if got, want := o.Values(words), []memory.Word{0b10_101_0000011, 1}; !cmp.Equal(got, want) {
		t.Errorf("Values(%b) = %b, want %b", words, got, want)
	}
	if got := testing.AllocsPerRun(100, func() { o.AppendValues(make([]memory.Word, 0, 8), words) }); got != 0 {
		t.Errorf("AppendValues allocates %v times", got)
	}
}

func TestReadNarrowWord(t *testing.T) {
	code := mustRead(t, strings.Replace(left, "1 rr rr aaaaaaa", "11111 aaaaaaa", 1))
	o := code.Order("narrow")
	if got := code.Find(0x080); got != o {
		t.Errorf("Find(080) = %v, want narrow", got)
	}
	if got := code.Find(0x180); got == o {
		t.Error("a wide word with bits above the narrow pattern is read as narrow")
	}
	want := []Check{
		{Line: 22, Words: []memory.Word{0x80}, Reads: "narrow"},
		{Line: 23, Before: []Setting{{Register: code.Register("A"), Value: 0xF}, {Addr: 0x10, Value: 0xFFF}}, After: []Setting{{Register: code.Register("B")}}},
	}
	if diff := cmp.Diff(want, o.Checks); diff != "" {
		t.Errorf("checks (-want +got):\n%s", diff)
	}
}

// TestReadFieldOfTwoWidths holds that a letter with a group means the same wherever it stands.
func TestReadFieldOfTwoWidths(t *testing.T) {
	_, err := Read("left.machine", []byte(left))
	if want := "field r of order halt has 5 bits, but the values of group r"; err == nil || !strings.Contains(sentences(err), want) {
		t.Errorf("Read gave %v, want %q in it", err, want)
	}
}

func TestFree(t *testing.T) {
	code := brindlecote(t)
	for name, want := range map[string]bool{"jump-near": true, "load-small": true, "jump": false, "enter": false} {
		o := code.Order(name)
		if got := o.Operands[len(o.Operands)-1].Free; got != want {
			t.Errorf("%s: Free is %v, want %v", name, got, want)
		}
	}
}

func TestModeLinesComeFirst(t *testing.T) {
	o := brindlecote(t).Order("load")
	var ops []string
	for _, s := range o.Does {
		ops = append(ops, s.Op)
	}
	// Three lets count: at, more, and word within the repeat.
	if want := []string{"let", "let", "repeat", "if", "transfer", "transfer"}; !cmp.Equal(ops, want) || o.Locals != 3 {
		t.Errorf("load does %v with %d lets, want %v with 3", ops, o.Locals, want)
	}
}

// FuzzRead holds that Read gives a whole Code or a sorted list of errors with places inside the file, and never both.
func FuzzRead(f *testing.F) {
	f.Add(left)
	f.Add(fielded(everyOp))
	if src, err := os.ReadFile("testdata/errors.machine"); err == nil {
		for _, chunk := range strings.Split(string(src), "---\n") {
			f.Add(base + chunk)
		}
	}
	f.Fuzz(func(t *testing.T, src string) {
		code, err := Read("fuzz.machine", []byte(src))
		if err == nil {
			for _, o := range code.Orders {
				if w := o.Patterns[0].Value; code.Find(w) != naive(code, w) {
					t.Errorf("word %o finds %v, a plain search %v", w, code.Find(w), naive(code, w))
				}
			}
			return
		}
		list, ok := err.(scanner.ErrorList)
		if code != nil || !ok || len(list) == 0 {
			t.Fatalf("Read gave %v and %#v", code, err)
		}
		for i, e := range list {
			if e.Pos.Line < 1 || e.Pos.Line > strings.Count(src, "\n")+1 || e.Pos.Column < 1 {
				t.Errorf("%v lies outside the file", e)
			}
			if i > 0 && list.Less(i, i-1) {
				t.Errorf("%v stands after %v", e, list[i-1])
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	src, err := os.ReadFile("../../cmd/coldstart/internal/school/office/brindlecote.machine")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Read("brindlecote.machine", src); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFind(b *testing.B) {
	code := brindlecote(b)
	w := memory.Word(0)
	for b.Loop() {
		code.Find(w & 0o777777)
		w += 0o10101
	}
}
