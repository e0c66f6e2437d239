package cpu_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// rv32i is the open base integer standard as a machine file. The tests of it hold it against the words of The RISC-V
// Instruction Set Manual, Volume I: Unprivileged Architecture, document version 20191213; "section" is always of that.
const rv32i = "../testdata/machines/rv32i.machine"

// origin is where the programs of these tests begin.
const origin = 0x80000000

// scratch is an image of RV32I with zeros wherever these tests have program or data: the ends of its store, and what
// follows the origin.
func scratch(c *order.Code) *memory.Image {
	im := memory.NewImage(c.Geometry)
	for _, first := range []memory.Addr{0, 0xF000, origin, origin + 0x1000, origin + 0xF000} {
		for a := first; a < first+0x1000; a += 4 {
			_ = im.Set(a, 0, memory.Origin{})
		}
	}
	return im
}

// place is what a case of a table is about: a register, or a word of store written [ADDRESS], and its value.
type place struct {
	register *order.Register // nil: store
	addr     memory.Addr
	value    memory.Word
}

// places reads "x5=7FFFFFFF [80001000]=1", numbers hexadecimal.
func places(t *testing.T, c *order.Code, text string) []place {
	t.Helper()
	var list []place
	for _, field := range strings.Fields(text) {
		name, number, _ := strings.Cut(field, "=")
		value, err := strconv.ParseUint(number, 16, 32)
		p := place{value: memory.Word(value)}
		if inside, ok := strings.CutPrefix(name, "["); ok {
			var a uint64
			a, err = strconv.ParseUint(strings.TrimSuffix(inside, "]"), 16, 32)
			p.addr = memory.Addr(a)
		} else if p.register = c.Register(name); p.register == nil {
			t.Fatalf("%q: no register %s", text, name)
		}
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		list = append(list, p)
	}
	return list
}

// An rvCase is a small program in order text, what registers and store hold before it, and which of them hold what after
// it, worked out by hand from the section named; all others must hold what they did, or zero.
type rvCase struct {
	section, name string
	orders        string
	before, after string
	trap          string // that ends it; empty: the ebreak put after the program
}

// TestRV32IOrders holds what each of the forty orders does against the manual, corners included.
func TestRV32IOrders(t *testing.T) {
	c := read(t, rv32i, "twos complement")
	met := map[string]bool{}
	for _, tt := range slices.Concat(rvNumbers, rvRegisters, rvJumps, rvStore, rvRest) {
		t.Run(tt.section+"/"+tt.name, func(t *testing.T) {
			source := fmt.Sprintf("at 80000000\n%s\nebreak\n", tt.orders)
			p, err := assemble.Assemble(c, assemble.Source{Name: "case", Text: []byte(source)})
			if err != nil {
				t.Fatalf("%s\n%v", source, err)
			}
			runCase(t, c, p, tt, met)
		})
	}
	for _, o := range c.Orders {
		if !met[o.Name] {
			t.Errorf("no case does %s", o.Name)
		}
	}
}

// runCase runs an assembled case to its trap, notes the orders met, and compares all registers and the whole store.
func runCase(t *testing.T, c *order.Code, p *assemble.Program, tt rvCase, met map[string]bool) {
	im := scratch(c)
	for a, w := range p.All() {
		_ = im.Set(a, w, memory.Origin{})
	}
	registers := make([]memory.Word, len(c.Registers))
	want := scratch(c)
	for a, w := range p.All() {
		_ = want.Set(a, w, memory.Origin{})
	}
	for _, b := range places(t, c, tt.before) {
		if b.register != nil {
			registers[b.register.Number] = b.value
			continue
		}
		_ = im.Set(b.addr, b.value, memory.Origin{})
		_ = want.Set(b.addr, b.value, memory.Origin{})
	}
	m, store := rvMachine(t, c, im, registers)
	m.Observe(noted(met))
	m.Run(100, cpu.Never)
	end := tt.trap
	if end == "" {
		end = "breakpoint"
	}
	if trap := m.LastTrap(); !m.Halted() || trap == nil || trap.Kind.Name != end {
		t.Fatalf("ended by %+v at %X, want trap %s\n%s", trap, m.Place(), end, tt.orders)
	}
	pc := false
	for _, a := range places(t, c, tt.after) {
		if a.register == nil {
			_ = want.Set(a.addr, a.value, memory.Origin{})
			continue
		}
		registers[a.register.Number], pc = a.value, pc || a.register == c.Counter
	}
	for _, r := range c.Registers {
		if got := m.Value(r); got != registers[r.Number] && (r != c.Counter || pc) {
			t.Errorf("%s = %08X, want %08X\n%s", r.Name, got, registers[r.Number], tt.orders)
		}
	}
	for a, e := range want.All() {
		if got, _, _ := store.Peek(a); got != e.Word {
			t.Errorf("store %X = %08X, want %08X\n%s", a, got, e.Word, tt.orders)
		}
	}
}

// rvMachine is a machine at the origin with its store loaded and its registers set.
func rvMachine(t *testing.T, c *order.Code, im *memory.Image, registers []memory.Word) (*cpu.Machine, *memory.Store) {
	t.Helper()
	store := memory.NewStore(c.Geometry, 1)
	if err := store.Load(im); err != nil {
		t.Fatal(err)
	}
	m := cpu.New(c, store, &noise{}, 1)
	m.Boot()
	for _, r := range c.Registers {
		m.Set(r, registers[r.Number])
	}
	m.Set(c.Counter, origin)
	return m, store
}

// noted notes the names of the orders done.
type noted map[string]bool

// Observe notes one.
func (n noted) Observe(s *cpu.Step) {
	if s.Order != nil {
		n[s.Order.Name] = true
	}
}
