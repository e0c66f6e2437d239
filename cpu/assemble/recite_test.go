package assemble_test

import (
	"go/scanner"
	"iter"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// tern reads a machine that shares nothing with the training machine: hexadecimal, ones complement, bits from the left.
func tern(t testing.TB) *order.Code {
	t.Helper()
	src, err := os.ReadFile("../order/testdata/tern.machine")
	if err != nil {
		t.Fatal(err)
	}
	c, err := order.Read("tern.machine", src)
	if err != nil {
		scanner.PrintError(t.Output(), err)
		t.FailNow()
	}
	return c
}

// words gives n words from an address on.
func words(first memory.Addr, n int, word func(int) memory.Word) iter.Seq2[memory.Addr, memory.Word] {
	return func(yield func(memory.Addr, memory.Word) bool) {
		for i := range n {
			if !yield(first+memory.Addr(i), word(i)) {
				return
			}
		}
	}
}

// roundTrip recites an image and assembles the listing; what comes back must be the image.
func roundTrip(t *testing.T, c *order.Code, image iter.Seq2[memory.Addr, memory.Word]) []byte {
	t.Helper()
	listing := assemble.Recite(c, image)
	p, err := assemble.Assemble(c, assemble.Source{Name: "listing", Text: listing})
	if err != nil {
		t.Fatalf("the listing does not assemble: %v", err)
	}
	i := 0
	for at, w := range image {
		if i >= len(p.Words) || p.Words[i].Addr != at || p.Words[i].Word != w {
			t.Fatalf("%o at %o did not come back in place %d of %d words", w, at, i, len(p.Words))
		}
		i++
	}
	if i < len(p.Words) {
		t.Fatalf("%o at %o came back from nowhere", p.Words[i].Word, p.Words[i].Addr)
	}
	return listing
}

// Every word there is comes back from its listing. The steps of 3 put words that look alike at places far apart.
func TestReciteEveryWord(t *testing.T) {
	c := brindlecote(t)
	const places = 1 << 15
	for part := range 8 {
		roundTrip(t, c, words(0, places, func(i int) memory.Word { return memory.Word(part*places + (i*3+16381)%places) }))
	}
}

// So it is on a machine with ignored bits, fields that must be so, choices by number, steps of two, and minus zero.
func TestReciteEveryWordOfAnother(t *testing.T) {
	c := tern(t)
	seen := ""
	for _, step := range []int{1, 0xF001} { // the second puts behind a word of the order reach one that it reads on in
		listing := roundTrip(t, c, words(0, 1<<16, func(i int) memory.Word { return memory.Word(i * step & 0xFFFF) }))
		seen += string(listing)
	}
	for _, o := range c.Orders {
		if !strings.Contains(seen, "  "+o.Name) {
			t.Errorf("no order %s is in the listings of every word", o.Name)
		}
	}
}

func TestReciteListing(t *testing.T) {
	c := tern(t)
	image := func(yield func(memory.Addr, memory.Word) bool) {
		_ = yield(0x0FFE, 0x6400) && yield(0x0FFF, 0x0F00) && yield(0x1000, 0x5FFF) && // ignored bits that are ones
			yield(0xFFF0, 0x2FFF) && yield(0xFFFF, 0x6400) // cut off by the last address
	}
	want := `        at 0FFE
        far B, 0F00                     # 0FFE  6400 0F00
        words 5FFF                      # 1000  5FFF
        at 0FFF0
        jump 0FFEF                      # FFF0  2FFF
        at 0FFFF
        words 6400                      # FFFF  6400
`
	if diff := cmp.Diff(want, string(roundTrip(t, c, image))); diff != "" {
		t.Errorf("listing (-want +got)\n%s", diff)
	}
	if got := assemble.Recite(c, words(0, 0, nil)); len(got) != 0 {
		t.Errorf("no words are listed as %q", got)
	}
}

// An order may be called by a word of order text; its words are then listed as data, never as something else.
func TestReciteOrderNamedAsDirective(t *testing.T) {
	src := `
machine  "Odd"
numbers  octal, bit 0 at right
word     6 bits, twos complement
address  6 bits
store    S1 00-77
counter  P: 6 bits, holds next order
order    at a
  pattern 0aaaaa
  does   halt
order    words
  pattern 100000
  does   halt
`
	c, err := order.Read("odd.machine", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	roundTrip(t, c, words(0, 64, func(i int) memory.Word { return memory.Word(i) }))
}

// An order may share its name with a flip-flop; it is still listed as an order.
func TestReciteOrderNamedAsFlipFlop(t *testing.T) {
	c := brindlecote(t)
	p, err := assemble.Assemble(c, assemble.Source{Name: "zero", Text: []byte("at 1000\nzero A")})
	if err != nil {
		t.Fatal(err)
	}
	if got := string(roundTrip(t, c, p.All())); !strings.Contains(got, " zero A ") {
		t.Errorf("`zero A` is listed as\n%s", got)
	}
}

// FuzzRecite: any words at any place, listed and assembled, are the same words.
func FuzzRecite(f *testing.F) {
	f.Add(uint16(0o1000), []byte{0x3C, 0xE0, 0x00, 0x00, 0x12, 0x34})
	f.Add(uint16(0o77776), []byte{0x03, 0xDC, 0x00})
	c := brindlecote(f)
	f.Fuzz(func(t *testing.T, first uint16, data []byte) {
		first &= 0o77777
		n := min(len(data)/3, 1<<15-int(first))
		roundTrip(t, c, words(memory.Addr(first), n, func(i int) memory.Word {
			b := data[3*i:]
			return (memory.Word(b[0])<<16 | memory.Word(b[1])<<8 | memory.Word(b[2])) & memory.Mask(18)
		}))
	})
}

// FuzzAssemble: any text either is refused, with every error inside the text and no Program, or gives words that fit
// their store and come back from their listing.
func FuzzAssemble(f *testing.F) {
	src, err := os.ReadFile("testdata/errors.order")
	if err != nil {
		f.Fatal(err)
	}
	for text := range strings.SplitSeq(string(src), "\n---\n") {
		f.Add(text)
	}
	f.Add("at 1000\nassume page = 0\nl: load A, through l.10-0\n jump l\n sum l, l + 1\n text ascii-even \"A\"\n block 1, 2000, 1\n words -1")
	c := brindlecote(f)
	f.Fuzz(func(t *testing.T, text string) {
		p, err := assemble.Assemble(c, assemble.Source{Name: "fuzz", Text: []byte(text)})
		if (p == nil) == (err == nil) {
			t.Fatalf("Program %v beside error %v", p, err)
		}
		if err != nil {
			lines := strings.Split(text, "\n")
			for _, e := range err.(scanner.ErrorList) {
				if e.Pos.Line < 1 || e.Pos.Line > len(lines) || e.Pos.Column < 1 || e.Pos.Column > len(lines[e.Pos.Line-1])+1 {
					t.Errorf("%v is outside the text", e)
				}
			}
			return
		}
		for at, w := range p.All() {
			if w > memory.Mask(c.Geometry.Width) || memory.Word(at) > memory.Mask(c.Geometry.AddrBits) {
				t.Fatalf("%o at %o does not fit", w, at)
			}
		}
		roundTrip(t, c, p.All())
	})
}

// Whoever stops listening gets no line more, and keeps the words of those that came.
func TestLinesStopsWhenAsked(t *testing.T) {
	c := tern(t)
	var kept []assemble.Line
	for l := range assemble.Lines(c, words(0x10, 100, func(i int) memory.Word { return memory.Word(0x9000) })) {
		if kept = append(kept, l); len(kept) == 2 {
			break
		}
	}
	want := []assemble.Line{
		{At: 0x10, Words: []memory.Word{0x9000}, Text: "stop"},
		{At: 0x11, Words: []memory.Word{0x9000}, Text: "stop"},
	}
	if diff := cmp.Diff(want, kept); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}
