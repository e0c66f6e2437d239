package proof_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/cpu/order/proof"
	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// walker is a machine with every way to get from place to place; each order is one of them.
const walker = `machine   "Walker"
numbers   octal, bit 0 at right
word      12 bits, twos complement
address   9 bits
counter   P: 9 bits, holds next order
register  A: 12 bits
register  L: 9 bits
register  page: 3 bits
flip-flop zero
store     S0 000-777
trap      odd "an order says so"
  does    P <- 700
boot
  does    P, page <- 100, 1
order     jump a
  pattern 0001 00 aaaaaa
  operand a as page:a
  does    P <- page:a
order     near d
  pattern 0010 dddddddd
  operand d as P + sign(d, 9)
  does    P <- P + sign(d, 9)
order     near-zero d
  pattern 0011 dddddddd
  operand d as P + sign(d, 9)
  does    if zero = 1 then P <- P + sign(d, 9)
order     link d
  pattern 0100 dddddddd
  operand d as P + sign(d, 9)
  does    L <- P
          P <- P + sign(d, 9)
order     return
  pattern 0101 0000 0000
  does    P <- L
order     enter a
  pattern 0001 01 aaaaaa
  operand a as page:a
  does    store[page:a] <- extend(P, 12)
          P <- page:a + 1
order     leave a
  pattern 0001 10 aaaaaa
  operand a as page:a
  does    P <- store[page:a].8-0
order     skip
  pattern 0101 0000 0001
  does    if zero = 1 then P <- after(P)
order     set-page n
  pattern 0101 0000 1 nnn
  does    page <- n
order     long v
  pattern 0101 0001 0000 / vvvvvvvvvvvv
  does    A <- v
order     store a
  pattern 0110 000 aaaaa
  does    store[extend(a, 9)] <- A
order     store-at
  pattern 0110 0010 0000
  does    store[A.8-0] <- 0
order     go
  pattern 0110 0010 0001
  does    P <- A.8-0
order     spring
  pattern 0110 0010 0010
  does    trap odd
order     halt
  pattern 0110 0010 0011
  does    halt
order     page-of
  pattern 0110 0010 0100
  unknown
order     turn d
  pattern 0111 dddddddd
  operand d as P + sign(d, 9)
  does    L <- L - 1
          if L /= 0 then P <- P + sign(d, 9)
order     around
  pattern 0110 0010 0101
  does    let n = page
          let at = page:extend(0, 6)
          repeat 8 times while n /= 0
            n <- n - 1
            at <- at + 1
          end
          P <- at
order     chain a
  pattern 0001 11 aaaaaa
  operand a as page:a
  does    let at = page:a
          let more = zero
          repeat 4 times while more = 1
            let word = store[at]
            at, more <- word.8-0, word.11
          end
          P <- at
`

// assembled gives the code of a machine file and the image of order text.
func assembled(t testing.TB, machine, text string) (*order.Code, *memory.Image) {
	t.Helper()
	code, err := order.Read("walker.machine", []byte(machine))
	if err != nil {
		t.Fatal(err)
	}
	p, err := assemble.Assemble(code, assemble.Source{Name: "text.order", Text: []byte(text)})
	if err != nil {
		t.Fatal(err)
	}
	image, err := p.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	return code, image
}

// picture says in lines what an exploration came to, in octal.
func picture(x *proof.Exploration) []string {
	var all []string
	for _, e := range x.Entries {
		all = append(all, fmt.Sprintf("enter %o %s", e.Place, e.Name))
	}
	for _, t := range x.Tallies {
		line := fmt.Sprintf("%s met %d", t.Order.Name, t.Places)
		for _, n := range []struct {
			name string
			n    int
		}{{"jumps", t.Jumps}, {"outside", t.Outside}, {"no order", t.NoOrder}, {"data", t.Data}, {"into", t.Into}, {"unknown", t.Unknown}} {
			if n.n > 0 {
				line += fmt.Sprintf(", %s %d", n.name, n.n)
			}
		}
		all = append(all, line)
	}
	for _, u := range x.Unread {
		all = append(all, fmt.Sprintf("unread %o at %o, %d orders on: %s; %d met, %d in image", u.Word, u.Place, u.Distance, u.Way, u.Places, u.InImage))
	}
	for _, s := range x.Stores {
		all = append(all, fmt.Sprintf("%s at %o stores into %o, %s", s.Order.Name, s.From, s.To, s.Over.Name))
	}
	if x.Beyond+x.Wild > 0 {
		all = append(all, fmt.Sprintf("beyond %d, wild %d", x.Beyond, x.Wild))
	}
	return all
}

func TestExplore(t *testing.T) {
	tests := []struct {
		name, text string
		want       []string
	}{
		{"straight on to a halt", "at 100\n long 17\n halt\n words 0", []string{
			"enter 100 start-up", "enter 700 trap odd", "long met 1", "halt met 1", "beyond 1, wild 0"}},
		{"both ways at a condition", "at 100\n near-zero far\n halt\nfar: halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "near-zero met 1, jumps 1", "halt met 2", "beyond 1, wild 0"}},
		{"a skip over an order of two words", "at 100\n skip\n long 0\n halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "skip met 1, jumps 1", "long met 1", "halt met 1", "beyond 1, wild 0"}},
		{"a page that start-up set", "at 100\nassume page = 1\n jump there\n words 0\nthere: halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "jump met 1, jumps 1", "halt met 1", "beyond 1, wild 0"}},
		{"a page that an order set", "at 100\n set-page 2\n assume page = 2\n jump there\nat 207\nthere: halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "jump met 1, jumps 1", "set-page met 1", "halt met 1", "beyond 1, wild 0"}},
		{"two calls, each comes back to its own", "at 100\n link sub\n link sub\n halt\nsub: return", []string{
			"enter 100 start-up", "enter 700 trap odd", "link met 2, jumps 2", "return met 1, jumps 2", "halt met 1", "beyond 1, wild 0"}},
		{"a place to come back to in store", "at 100\nassume page = 1\n enter sub\n enter sub\n halt\nsub: words 0\n leave sub", []string{
			"enter 100 start-up", "enter 700 trap odd", "enter met 2, jumps 2", "leave met 1, jumps 2", "halt met 1", "beyond 1, wild 0"}},
		{"an address only a run can tell", "at 100\n go\n words 0", []string{
			"enter 100 start-up", "enter 700 trap odd", "go met 1, unknown 1", "beyond 1, wild 0"}},
		{"a call that is never seen to come back", "at 100\n link sub\n halt\nsub: go", []string{
			"enter 100 start-up", "enter 700 trap odd", "link met 1, jumps 1", "go met 1, unknown 1", "halt met 1", "beyond 1, wild 0"}},
		{"jumps to nothing and to no order", "at 100\n near-zero 77\n near-zero data\n halt\ndata: words 7777, 7776", []string{
			"enter 100 start-up", "enter 700 trap odd", "near-zero met 2, jumps 2, outside 1, no order 1", "halt met 1",
			"unread 7777 at 103, 2 orders on: near-zero at 101 goes there; 1 met, 2 in image", "beyond 2, wild 0"}},
		{"running into no order", "at 100\n skip\n halt\n words 4321", []string{
			"enter 100 start-up", "enter 700 trap odd", "skip met 1, jumps 1, no order 1", "halt met 1",
			"unread 4321 at 102, 1 orders on: skip at 100 goes there; 1 met, 1 in image", "beyond 1, wild 0"}},
		{"following into no order", "at 100\n set-page 0\n words 4321", []string{
			"enter 100 start-up", "enter 700 trap odd", "set-page met 1, into 1",
			"unread 4321 at 101, 1 orders on: it follows set-page at 100; 1 met, 1 in image", "beyond 1, wild 0"}},
		{"an order whose page is unreadable", "at 100\n page-of\n halt", []string{
			"enter 100 start-up", "enter 700 trap odd",
			"unread 3044 at 100, 0 orders on: start-up begins there; 1 met, 1 in image", "beyond 1, wild 0"}},
		{"stores into program, and anywhere", "at 0\n set-page 1\n words 0\nat 100\n store 0\n store 1\n store-at\n near 0", []string{
			"enter 100 start-up", "enter 700 trap odd", "near met 1, jumps 1", "set-page met 1, into 1", "store met 2", "store-at met 1",
			"unread 0 at 1, 5 orders on: it follows set-page at 000; 1 met, 1 in image", "store at 100 stores into 0, set-page", "beyond 1, wild 1"}},
		{"a trap of an order", "at 100\n spring\nat 700\n halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "spring met 1", "halt met 1"}},
		{"a loop that counts a register down", "at 100\nagain: turn again\n halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "halt met 1", "turn met 1, jumps 1", "beyond 1, wild 0"}},
		{"a loop inside an order", "at 100\n around\nat 101\n halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "halt met 1", "around met 1, jumps 1", "beyond 1, wild 0"}},
		{"a chain whose end only a run can tell", "at 100\nassume page = 1\n chain there\nthere: halt", []string{
			"enter 100 start-up", "enter 700 trap odd", "halt met 1", "chain met 1, jumps 1, unknown 1", "beyond 1, wild 0"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, image := assembled(t, walker, tt.text)
			if diff := cmp.Diff(tt.want, picture(proof.Explore(code, image, nil, nil))); diff != "" {
				t.Errorf("exploration (-want +got):\n%s\nof\n%s", diff, tt.text)
			}
		})
	}
}

// A place that is given stands in for the one of start-up, and words of program that nothing leads to are begun at.
func TestExploreFrom(t *testing.T) {
	code, image := assembled(t, walker, "at 100\n halt\nat 200\n near 203\n words 7777\nat 203\n go")
	x := proof.Explore(code, image, []memory.Addr{0o203}, func(a memory.Addr) bool { return a == 0o200 })
	want := []string{"enter 203 the start", "enter 700 trap odd", "near met 1, jumps 1, data 1", "go met 1, unknown 1", "beyond 1, wild 0"}
	if diff := cmp.Diff(want, picture(x)); diff != "" {
		t.Errorf("exploration (-want +got):\n%s", diff)
	}
}

// training is the image of the training office, as its tape and its wired words have it, and its areas of program.
func training(t testing.TB, g memory.Geometry) (*memory.Image, func(memory.Addr) bool) {
	t.Helper()
	layout, err := tape.ReadLayout("gp.layout", []byte(read(t, office+"gp.layout")))
	if err != nil {
		t.Fatal(err)
	}
	rec, err := tape.Read(layout, "gp1.tape", bytes.NewReader([]byte(read(t, office+"gp1.tape"))))
	if err != nil {
		t.Fatal(err)
	}
	image, _ := loader.Place(rec.Blocks, g)
	wired, err := loader.ReadWords("starter.words", []byte(read(t, office+"starter.words")), g)
	if err != nil {
		t.Fatal(err)
	}
	for a, e := range wired.All() {
		if err := image.Set(a, e.Word, e.Origin); err != nil {
			t.Fatal(err)
		}
	}
	areas, err := loader.ReadAreas("areas.list", []byte(read(t, office+"areas.list")), g)
	if err != nil {
		t.Fatal(err)
	}
	return image, func(a memory.Addr) bool {
		area, ok := areas.At(a)
		return ok && area.Kind == "program"
	}
}

func BenchmarkExplore(b *testing.B) {
	code, err := order.Read("b.machine", []byte(read(b, office+"brindlecote.machine")))
	if err != nil {
		b.Fatal(err)
	}
	image, program := training(b, code.Geometry)
	for b.Loop() {
		proof.Explore(code, image, nil, program)
	}
}

func BenchmarkRead(b *testing.B) {
	src := []byte(read(b, office+"brindlecote.machine"))
	for b.Loop() {
		if _, err := proof.Read("b.machine", src); err != nil {
			b.Fatal(err)
		}
	}
}
