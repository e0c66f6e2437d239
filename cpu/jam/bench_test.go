package jam

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
)

// turning is the Fen 12 in a loop without an end: it loads 010, 011 and 012 in turn.
func turning(t testing.TB) *duplex.Half {
	t.Helper()
	code := fen(t)
	h := half(t, code, 0o0010, 0o0011, 0o0012, 0o7000, 0, 0, 0, 0, 0o17, 0o27, 0o37)
	h.Machine.Boot()
	return h
}

// turn takes one order of the loop and gives what A holds then.
func turn(h *duplex.Half) string {
	if h.Machine.Halted() || h.Machine.Place() == 3 {
		h.Machine.Set(h.Machine.Code().Counter, 0)
	}
	h.Machine.Run(1, cpu.Never)
	a := h.Machine.Code().Registers[1]
	return fmt.Sprintf("%o ", h.Machine.Value(a))
}

// A jam is in force just when it says. Bit 12, the rightmost, is a one in all words.
func TestWhen(t *testing.T) {
	tests := []struct{ jam, want string }{
		{"K0 no reply, from order 5", "17 27 37 17 17 17 17 17"},
		{"register A bit 12 = 0, from order 5", "17 27 37 17 26 36 16 26"},
		{"register A bit 12 = 0, while 010", "16 27 37 16 27 37 16 27"},
		{"register A bit 12 = 0, while 001", "17 26 37 17 26 37 17 26"},
		{"register A bit 12 = 0, while 011-012", "17 26 36 17 26 36 17 26"},
		{"store data bit 12 = 0 (read), while 011-012", "17 17 17 17 17 17 17 17"},
		{"register A bit 12 = 0, from milestone a", "17 27 37 16 26 36 16 26"},
		{"register A bit 12 = 0, from milestone a to milestone b", "17 27 37 16 26 36 17 27"},
	}
	for _, test := range tests {
		t.Run(test.jam, func(t *testing.T) {
			h := turning(t)
			j, err := Parse(h.Machine.Code(), test.jam, "a", "b")
			if err != nil {
				t.Fatal(err)
			}
			if err := j.Put(h); err != nil {
				t.Fatal(err)
			}
			var states []duplex.State
			var got []string
			step := func(n int) {
				if n == 3 {
					h.Reach("a")
				}
				if n == 6 {
					h.Reach("b")
				}
				states = append(states, h.Keep())
				got = append(got, strings.TrimSpace(turn(h)))
			}
			for n := range 8 {
				step(n)
			}
			if all := strings.Join(got, " "); all != test.want {
				t.Errorf("A holds %s, want %s", all, test.want)
			}
			// From any state it goes the same way again.
			for from, s := range states {
				if err := h.Recall(s); err != nil {
					t.Fatal(err)
				}
				first := strings.Join(got[from:], " ")
				again := got[:0:0]
				for n := from; n < 8; n++ {
					if n == 3 && !h.Reached("a") {
						h.Reach("a")
					}
					if n == 6 && !h.Reached("b") {
						h.Reach("b")
					}
					again = append(again, strings.TrimSpace(turn(h)))
				}
				if strings.Join(again, " ") != first {
					t.Errorf("from order %d again %s, first %s", from, again, first)
				}
			}
			if err := h.Recall(states[0]); err != nil {
				t.Fatal(err)
			}
			if at := j.Effect(h); !strings.HasSuffix(at, "never met, so it changed nothing; not in force now") {
				t.Errorf("at the start: %s", at)
			}
			if err := j.Lift(h); err != nil {
				t.Fatal(err)
			}
			if h.Machine.Bench() != nil {
				t.Error("the bench attends to a half without jams that come and go")
			}
		})
	}
}

// Jams of all kinds that come and go at random do the same again after going back, whatever was in between.
func TestGoingBackRepeats(t *testing.T) {
	places := []string{
		"K0 C12 @010 = 0", "K0 C11 = 0", "store data bit 10 = 1 (read)", "register A bit 9 = 1", "order bit 12 = 1",
		"store 011 bit 12 never falls", "K0 C09 @012 flips when 012 written", "adder carry into bit 3 = 1", "skip gate always",
	}
	whens := []string{"", ", from order 9", ", while 010-011", ", from milestone a", ", from milestone a to milestone b"}
	random := rand.New(rand.NewPCG(5, 4))
	for trial := range 60 {
		h := turning(t)
		for i := range 4 {
			text := fmt.Sprintf("%s%s, 1 in %d, seed %d", places[(trial+2*i)%len(places)], whens[random.IntN(len(whens))], 2+random.IntN(3), trial)
			j, err := Parse(h.Machine.Code(), text, "a", "b")
			if err != nil {
				t.Fatal(err)
			}
			if err := j.Put(h); err != nil {
				t.Fatal(err)
			}
		}
		run := func(from, to int) (all string) {
			for n := from; n < to; n++ {
				switch n {
				case 7:
					h.Reach("a")
				case 20:
					h.Reach("b")
				}
				all += turn(h)
			}
			return all
		}
		run(0, 4)
		kept := h.Keep()
		first := run(4, 40)
		if err := h.Recall(kept); err != nil {
			t.Fatal(err)
		}
		run(4, 4+random.IntN(30))
		if err := h.Recall(kept); err != nil {
			t.Fatal(err)
		}
		if again := run(4, 40); again != first {
			t.Errorf("trial %d: %s\nagain     %s", trial, first, again)
		}
	}
}

// A hundred thousand jams are read, held against one another, put in and run: nothing of it grows with their square, or this
// would not end.
func TestHundredThousand(t *testing.T) {
	code, milestones := brindlecote(t)
	var b bytes.Buffer
	random := rand.New(rand.NewPCG(1, 1))
	for i := range 100_000 {
		fmt.Fprintf(&b, "store %o bit %d = %d", i%0o40000, i/0o40000, i&1)
		switch i % 4 {
		case 1:
			fmt.Fprintf(&b, ", from order %d", 1+random.IntN(1000))
		case 2:
			first := random.IntN(0o30000)
			fmt.Fprintf(&b, ", while %o-%o", first, first+random.IntN(8))
		case 3:
			fmt.Fprintf(&b, ", from milestone loaded, 1 in %d, seed %d", 2+i%100, i)
		}
		b.WriteByte('\n')
	}
	jams, err := ParseList(code, "many.jams", b.Bytes(), milestones...)
	if err != nil || len(jams) != 100_000 {
		t.Fatalf("%d jams, %v", len(jams), err)
	}
	if _, _, found := Contradiction(jams); found {
		t.Fatal("they are said to contradict")
	}
	h := bay(t, code)
	for _, j := range jams {
		if err := j.Put(h); err != nil {
			t.Fatal(err)
		}
	}
	h.Machine.Boot()
	h.Machine.Set(code.Counter, 0)
	h.Machine.Run(500, cpu.Never)
	if n := len(h.Store.Jams()); n < 20_000 {
		t.Errorf("only %d jams are in force", n)
	}
	other := mustParse(t, code, "store 100 bit 0 = 1") // the list has it at 0
	if j, first, found := Contradiction(append(jams, other)); !found || j != other || first.Pos.Line != 0o100+1 {
		t.Errorf("%v against %v at line %d, %v", j, first, first.Pos.Line, found)
	}
}

// An intermittent lamp shows the same each time it is looked at, changes from order to order, and hangs on its seed.
func TestFlickeringLamp(t *testing.T) {
	code := fen(t)
	lit := func(seed int) (all string) {
		h := half(t, code, 0o0000, 0o0000)
		h.Machine.Boot()
		if err := h.Store.Poke(0o101, 0o7777); err != nil {
			t.Fatal(err)
		}
		if err := mustParse(t, code, fmt.Sprintf("lamp row 101 bit 1 dark, 1 in 2, seed %d", seed)).Put(h); err != nil {
			t.Fatal(err)
		}
		for range 64 {
			first, second := h.Lit(0o101), h.Lit(0o101)
			if first != second {
				t.Fatal("two looks differ")
			}
			all += fmt.Sprint(first >> 11 & 1)
			h.Machine.Run(1, cpu.Never)
			h.Machine.Set(code.Counter, 0)
		}
		return all
	}
	one, again, two := lit(1), lit(1), lit(2)
	if one != again || one == two || !strings.Contains(one, "1") || !strings.Contains(one, "0") {
		t.Errorf("seed 1: %s, again %s, seed 2: %s", one, again, two)
	}
}
