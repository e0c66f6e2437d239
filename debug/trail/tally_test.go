package trail_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/debug/trail"
	"coldstart/memory"
)

// What is used of the machine file is counted: orders by kind, traps, registers, channels, words that no order reads.
func TestTally(t *testing.T) {
	const program = "run\nlong 12\nlong 13\nstore A, 10\nstore A, 700\n"
	r, h := loft(program, 10)
	var got []string
	code := h.Machine.Code()
	for _, o := range code.Orders {
		if n := r.Tally().Orders[o.Number]; n > 0 {
			got = append(got, fmt.Sprintf("%s %d", o.Name, n))
		}
	}
	for _, k := range code.Traps {
		if n := r.Tally().Traps[k.Number]; n > 0 {
			got = append(got, fmt.Sprintf("trap %s %d", k.Name, n))
		}
	}
	for _, reg := range code.Registers {
		if r.Tally().Registers[reg.Number] {
			got = append(got, reg.Name)
		}
	}
	if want := []string{"store 2", "run 1", "long 2", "trap protected 1", "A"}; cmp.Diff(want, got) != "" {
		t.Errorf("used (-want +got)\n%s", cmp.Diff(want, got))
	}
	if diff := cmp.Diff(map[int]bool{1: true}, r.Tally().Channels); diff != "" {
		t.Errorf("channels (-want +got)\n%s", diff)
	}
	if r.Tally().Undefined != 0 {
		t.Errorf("%d undefined words, want none", r.Tally().Undefined)
	}
	r, _ = loft("words 7777\n", 1)
	if n := r.Tally().Undefined; n != 1 {
		t.Errorf("7777, which no order reads, run once: counted %d times", n)
	}
}

// Of each branch that was run it is counted how often it went on and how often away; a jump that always goes is no branch.
func TestBranches(t *testing.T) {
	// zero is set by the first load (10 holds 0 after the store), then by the loads of five.
	const program = "long 0\nstore A, 10\nload A, 10\njump-zero b\nb: load A, five\njump-zero c\nc: jump d\nwords 0\nd: load A, 10\njump-zero e\nstop\n" +
		"e: load A, five\njump-zero e\nstop\nfive: words 5\n"
	r, _ := loft(program, 40)
	var got []string
	for _, b := range r.Branches() {
		got = append(got, fmt.Sprintf("%o on %d away %d", b.Place, b.Onward, b.Away))
	}
	// 704 jumps to the very next order: nobody can tell that from going on.
	if want := []string{"704 on 1 away 0", "706 on 1 away 0", "712 on 0 away 1", "715 on 1 away 0"}; cmp.Diff(want, got) != "" {
		t.Errorf("(-want +got)\n%s", cmp.Diff(want, got))
	}
}

// What became of the words of a tape is told by where they came from, also of words written over.
func TestSources(t *testing.T) {
	const receive = "run\n" + "n1: test ready\njump-zero n1\nreceive\n"
	tests := []struct{ name, program, want string }{
		{"stored", "store A, 10", "t3.0 stored"},
		{"stored and read", "store A, 10\nload A, 10", "t3.0 stored read"},
		{"read after another value took its place", "store A, 10\nlong 1\nstore A, 10\nload A, 10", "t3.0 stored"},
		{"read before another value took its place", "store A, 10\nload A, 10\nlong 1\nstore A, 10", "t3.0 stored read"},
		{"run", "store A, 10\njump 10", "t3.0 stored run"}, // word 0010 reads load A, 010: the word itself, so it is read as well
		{"a copy read", "store A, 10\nload B, 10\nstore B, 20\nload B, 20", "t3.0 stored read"},
		{"received only", "swap", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, _ := loft(receive+test.program+"\nstop\n", 60_000)
			var got []string
			for o, u := range r.Sources() {
				said := where(o) + " stored"
				if u&trail.Run != 0 {
					said += " run"
				}
				if u&trail.Read != 0 && test.name != "run" {
					said += " read"
				}
				if u&trail.Written == 0 {
					t.Errorf("%v is told of, and never stood in store", o)
				}
				got = append(got, said)
			}
			if strings.Join(got, ", ") != test.want {
				t.Errorf("%q: %q, want %q", test.program, got, test.want)
			}
			for o := range r.Sources() {
				if o.Kind != memory.Tape {
					t.Errorf("%v is no tape", o)
				}
			}
		})
	}
}
