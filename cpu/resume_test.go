package cpu_test

import (
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// stopping is a machine that stands still in every way there is.
const stopping = `
machine  "Stopping"
numbers  octal, bit 0 at right
word     9 bits, twos complement
address  6 bits
counter  P: 6 bits, holds next order
register A: 9 bits
store    S 00-77
trap     undefined "no order"
  does   halt
interrupt bell "a bell"
  when   A = 7
  does   A <- 0; halt
order    halt
  pattern 000 000000
  does    halt
order    give-up
  pattern 001 000000
  does    halt for good
order    both
  pattern 010 000000
  does    halt for good
          halt
order    hang
  pattern 011 000000
  does    wait A = 1
order    halt-and-go a
  pattern 100 aaaaaa
  does    halt; P <- a
order    ring
  pattern 101 000000
  does    A <- 7
`

// The resume key sets a machine going that a halt stopped, where its order counter stands, and no other; a state that was
// kept is as it was in this too.
func TestResume(t *testing.T) {
	c, err := order.Read("stopping", []byte(stopping))
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name   string
		words  []memory.Word // from 10 on
		at     memory.Addr   // where the machine goes on
		resume bool
	}{
		{name: "halt", words: []memory.Word{0o000}, at: 0o11, resume: true},
		{name: "halt that jumps", words: []memory.Word{0o430}, at: 0o30, resume: true},
		{name: "halt for good", words: []memory.Word{0o100}, at: 0o11},
		{name: "halt for good, then halt", words: []memory.Word{0o200}, at: 0o11},
		{name: "wait", words: []memory.Word{0o300}, at: 0o10},
		{name: "halt in an interrupt", words: []memory.Word{0o500}, at: 0o11, resume: true},
		{name: "halt in a trap", words: []memory.Word{0o777}, at: 0o10},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := memory.NewStore(c.Geometry, 1)
			for i, w := range tt.words {
				s.Write(0o10+memory.Addr(i), w)
			}
			m := cpu.New(c, s, silent{}, 1)
			if m.Resume() || !m.Halted() {
				t.Error("the resume key set a machine going that was never started")
			}
			m.Boot()
			m.Set(c.Counter, 0o10)
			if m.Resume() {
				t.Error("the resume key did something to a machine that is not halted")
			}
			m.Run(5, cpu.Never)
			if !m.Halted() || m.Place() != tt.at {
				t.Fatalf("halted %t at %02o, want it halted at %02o", m.Halted(), m.Place(), tt.at)
			}
			kept := m.Snapshot()
			m.Boot()
			m.Restore(kept)
			if m.Resumes() != tt.resume || m.Resume() != tt.resume || m.Halted() == tt.resume {
				t.Fatalf("resumes, then halted: %t, %t; want %t, %t", m.Resumes(), m.Halted(), tt.resume, !tt.resume)
			}
			if m.Place() != tt.at || m.Resume() {
				t.Errorf("it stands at %02o after the key, want %02o, and a second press does nothing", m.Place(), tt.at)
			}
		})
	}
}

// silent is channels that nobody answers and that never change.
type silent struct{}

// Do answers nothing.
func (silent) Do(cpu.Action, cpu.Time) cpu.Reply { return cpu.Reply{None: true} }

// Next never comes.
func (silent) Next(cpu.Time) cpu.Time { return cpu.Never }
