package order

import (
	"strings"
	"testing"

	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// plainly compares what a file says without the values in it, which other tests look at.
var plainly = cmp.Options{
	cmpopts.IgnoreTypes(&Expr{}, []*Stmt{}),
	cmp.Comparer(func(a, b *Trap) bool { return a == nil && b == nil || a != nil && b != nil && a.Name == b.Name }),
}

// TestReadOutside reads all that answers or asks from outside an order.
func TestReadOutside(t *testing.T) {
	code := mustRead(t, base+`plug-in   RG1 "registers"
flip-flop on: plug-in RG1                        page 2-1 ?
keys      K: 6 bits, at start 17, plug-in RG1
adder     plug-in RG1
interrupt call "a call"
  level   2
  when    z and sign[1, 3]
  after   1 order of on
  does    let v = here
          P <- v
interrupt fire "fire"                            page 6-1
  level   7
interrupt tick "time"
  level   2
channel   IN: code 2, 8 bits, at 020000, signs 3, plug-in RG1
channel   OUT: code 3, 8 bits, at 020005
timer     sane: 10 ms, trap late, early 2 ms trap again
trap      again "a trap in a trap"
protect   000100-000177 when z
mirror    000200-000277 when on and K = 17, parity copied
mirror    000300-000377 when on, parity remade
`)
	on, in, out := code.Register("on"), memory.Addr(0o20000), memory.Addr(0o20005)
	diffs := map[string]string{
		"registers": cmp.Diff([]*Register{
			{Name: "on", Number: 5, Width: 1, FlipFlop: true, PlugIn: "RG1", Page: "2-1", Doubt: true},
			{Name: "K", Number: 6, Width: 6, Keys: true, Start: 0o17, PlugIn: "RG1"},
		}, code.Registers[5:]),
		"interrupts": cmp.Diff([]*Interrupt{
			{Name: "fire", Number: 0, Text: "fire", Level: 7, Page: "6-1"},
			{Name: "call", Number: 1, Text: "a call", Level: 2, Delay: 1, Enable: on, Locals: 1},
			{Name: "tick", Number: 2, Text: "time", Level: 2},
		}, code.Interrupts, plainly),
		"channels": cmp.Diff([]*Channel{
			{Name: "TC1", Code: 1, Width: 18, Signs: 8},
			{Name: "IN", Code: 2, Width: 8, Signs: 3, At: &in, PlugIn: "RG1"},
			{Name: "OUT", Code: 3, Width: 8, Signs: 8, At: &out},
		}, code.Channels),
		"timers": cmp.Diff([]*Timer{
			{Name: "tick", Number: 0, Period: 1e10, Trap: code.Trap("late")},
			{Name: "sane", Number: 1, Period: 1e10, Trap: code.Trap("late"), Early: 2e9, EarlyTrap: code.Trap("again")},
		}, code.Timers, plainly),
		"protects": cmp.Diff([]Protect{{First: 0o100, Last: 0o177, Line: 37}}, code.Protects, plainly),
		"mirrors": cmp.Diff([]Mirror{
			{First: 0o200, Last: 0o277, Copied: true, Line: 38}, {First: 0o300, Last: 0o377, Line: 39},
		}, code.Mirrors, plainly),
		"adder": cmp.Diff("RG1", code.AdderPlugIn),
	}
	for what, diff := range diffs {
		if diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
	if first, last := code.Channel("IN").Addresses(code); first != in || last != in+4 {
		t.Errorf("channel IN answers from %o to %o, want %o to %o", first, last, in, in+4)
	}
	if first, last := code.Channel("TC1").Addresses(code); first != 0 || last != 0 {
		t.Errorf("a channel without an address answers from %o to %o", first, last)
	}
	if got, want := code.Interrupt("call").When.String(), "z and sign[1, 3]"; got != want {
		t.Errorf("call asks when %s, want %s", got, want)
	}
	if got, want := code.Mirrors[0].When.String(), "on and (K = 17)"; got != want {
		t.Errorf("the first mirror works when %s, want %s", got, want)
	}
}

// TestReadMatrix reads the check bits of four data bits as Hamming placed them (Bell System Technical Journal, 1950): each
// check bit covers three of the four, and each pair of failing check bits names one.
func TestReadMatrix(t *testing.T) {
	code := mustRead(t, base+`store     H 010000-010777: 4 bits
  parity  whole odd over 3-0 and address
  check-bit c1 even over 3 2 0
  check-bit c2 even over 3 1-0
  check-bit c3 even over 2-0
  corrects once
  chips   U1 for c1 parity
`)
	want := memory.Area{
		Name: "H", First: 0o10000, Last: 0o10777, Width: 4, Corrects: true,
		Parity: []memory.Parity{
			{Name: "whole", Odd: true, Hi: 3, Lo: 0, Address: true},
			{Name: "c1", Over: 0b1101}, {Name: "c2", Over: 0b1011}, {Name: "c3", Hi: 2, Lo: 0},
		},
		Chips: []memory.Chip{{Name: "U1", Column: 5}},
	}
	if diff := cmp.Diff(want, code.Geometry.Areas[1]); diff != "" {
		t.Errorf("area (-want +got):\n%s", diff)
	}
}

// TestDoubts looks for every doubt mark, on whatever line it stands.
func TestDoubts(t *testing.T) {
	src := base + `mode      m
  does    let at = extend(N, 15) ?
trap      cold "cold" ?
order     load a                page 3-4
  pattern 0001 aaaaaaaaaaaaaa ?
  mode    m
  does    A <- 1
          B <- store[at] ?
order     via
  pattern 0010 **************
  mode    m
order     sure
  pattern 0011 **************
clock     1 us ?
`
	code := mustRead(t, strings.Replace(src, "clock     2.5 us\n", "", 1))
	want := []Doubt{
		{Line: 19, What: "mode m, does"},
		{Line: 20, What: "trap cold"},
		{Line: 22, What: "order load, pattern", Page: "3-4"},
		{Line: 25, What: "order load, does", Page: "3-4"},
		{Line: 31, What: "clock"},
	}
	if diff := cmp.Diff(want, code.Doubts); diff != "" {
		t.Errorf("doubts (-want +got):\n%s", diff)
	}
	for name, doubt := range map[string]bool{"load": true, "via": true, "sure": false, "stop": false} {
		if got := code.Order(name).Doubt; got != doubt {
			t.Errorf("order %s is in doubt: %t, want %t", name, got, doubt)
		}
	}
	if !code.Trap("cold").Doubt || code.Trap("late").Doubt {
		t.Error("trap cold is not in doubt, or trap late is")
	}
}

// TestDeclared keeps the counts of the handbook, and an order whose page nobody can read.
func TestDeclared(t *testing.T) {
	code := mustRead(t, base+"declares 2 orders\ndeclares 8 orders of 0110 **************\norder lost\n  pattern 1 *****************\n  unknown\n")
	want := []Declared{
		{Count: 2, Line: 19},
		{Count: 8, Line: 20, Pattern: &Pattern{Mask: 0o740000, Value: 0o300000, Width: 18}},
	}
	if diff := cmp.Diff(want, code.Declared); diff != "" {
		t.Errorf("counts (-want +got):\n%s", diff)
	}
	if !code.Order("lost").Unreadable || code.Order("stop").Unreadable {
		t.Error("the lost order can be read, or another cannot")
	}
}
