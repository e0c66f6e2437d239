package plan

import (
	"testing"

	"coldstart/memory"
)

// TestTableIsTotal walks all ops and forms: each has a picture, each form of the table has a way it can look, and the other
// forms have none.
func TestTableIsTotal(t *testing.T) {
	for op := range ops {
		if op.Picture() == "" {
			t.Errorf("op %d has no picture", op)
		}
	}
	ways := map[Form]int{}
	for i := range patterns {
		ways[patterns[i].form]++
	}
	for f := FormUnbound; f < Forms; f++ {
		if f.Picture() == "" {
			t.Errorf("form %d has no picture", f)
		}
		if fused := f > FormUnbound && f < tabled; fused != (ways[f] > 0) {
			t.Errorf("form %d (%s) is in the table: %t, and can look %d ways", f, f.Picture(), fused, ways[f])
		}
	}
}

// TestSingles holds that the forms that stand for one flat step and make a value are of steps that Compute does, Put aside.
func TestSingles(t *testing.T) {
	for op, f := range singles {
		if op != Put && !op.Computes() {
			t.Errorf("%s has the form %s, and is not computed", op.Picture(), f.Picture())
		}
		if got, want := f.Picture(), op.Picture(); got != want {
			t.Errorf("the form does %q, its step %q", got, want)
		}
	}
}

// TestMatchRefuses shows steps that look like a form and are none of it.
func TestMatchRefuses(t *testing.T) {
	const a, b, c, d, e = 1, 2, 3, 4, 5 // registers
	note := func(of uint16, bit uint8) []Step {
		return []Step{{Op: Bits, D: d, A: of, N: bit, M: 1}, {Op: Equal, D: e, A: of, B: 0}}
	}
	file := &File{All: new([full]memory.Word), Registers: 10, constants: map[memory.Word]uint16{}}
	file.Words = file.All[:file.first()]
	zero, one := file.constant(0), file.constant(1)
	fuser := &Fuser{file: file, twos: true, word: 0o777777, step: 1, slots: 100, counterTo: 9, counterAt: 9}
	add := func(to, from, with uint16, carry uint16) []Step {
		s := append([]Step{
			{Op: Carry, D: carry, A: from, B: with, C: zero, N: 18, M: 1},
			{Op: Add, D: to, A: from, B: with, C: zero, N: 18, M: 0o777777},
		}, note(to, 17)...)
		s[3].B = zero
		return s
	}
	spoiled := func(spoil func(s []Step)) []Step {
		s := add(a, a, b, c)
		spoil(s)
		return s
	}
	for _, tt := range []struct {
		name  string
		steps []Step
		want  Form
	}{
		{"as it should be", add(a, a, b, c), FormAddNote},
		{"the carry is a register added", add(a, a, b, b), FormCarry},
		{"the sum goes where the carry went", add(c, a, b, c), FormCarry},
		{"another width for the sum", spoiled(func(s []Step) { s[1].N = 17 }), FormCarry},
		{"another bit than the sign", spoiled(func(s []Step) { s[2].N = 16 }), FormCarry},
		{"more than one bit of it", spoiled(func(s []Step) { s[2].M = 3 }), FormCarry},
		{"held against one", spoiled(func(s []Step) { s[3].B = one }), FormCarry},
		{"another register is noted", spoiled(func(s []Step) { s[2].A, s[3].A = b, b }), FormCarry},
		{"the sum is where the next order stands", add(9, a, b, c), FormUnbound},
	} {
		t.Run(tt.name, func(t *testing.T) {
			bound := &Bound{Next: 1, Words: []memory.Word{0}, Steps: append(tt.steps, Step{Op: End})}
			o := fuser.Fuse(bound, 0, false)
			got := FormUnbound // left to its flat steps
			if o != nil {
				got = o.Steps[0].Form
			}
			if got != tt.want {
				t.Errorf("the first fused step is %q, want %q", got.Picture(), tt.want.Picture())
			}
		})
	}
}
