package order

import (
	"strings"
	"testing"

	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// TestEach types one order for four, and looks at the name, the pattern and the lines of each.
func TestEach(t *testing.T) {
	code := mustRead(t, base+`order     jump-*-* a                       page 4-1
  pattern 0001 c d aaaaaaaaaaaa
  each    c: 0 zero = (z), 1 not = (A = 1)
  each    d: 0 here = (a), 1 there = (N:z)
  must    c = 1
  does    if c then P <- extend(d, 15)
          A <- if d = 5 then A else B
  check   "0001 1 0 000000000101" reads "jump-not-here 5"
  check   A = 1 : P = 5
`+"declares  5 orders\n")
	want := []struct{ name, bits, cond, source, compare string }{
		{"jump-zero-here", "0001 0 0", "z", "extend(a, 15)", "a = 5"},
		{"jump-zero-there", "0001 0 1", "z", "extend(N:z, 15)", "(N:z) = 5"},
		{"jump-not-here", "0001 1 0", "A = 1", "extend(a, 15)", "a = 5"},
		{"jump-not-there", "0001 1 1", "A = 1", "extend(N:z, 15)", "(N:z) = 5"},
	}
	for _, tt := range want {
		o := code.Order(tt.name)
		if o == nil {
			t.Errorf("no order %s", tt.name)
			continue
		}
		word := binary(strings.ReplaceAll(tt.bits, " ", "")) << 12
		if got := code.Find(word); got != o {
			t.Errorf("%s: word %o is read by %v", tt.name, word, got)
		}
		got := []string{o.Does[0].Cond.String(), o.Does[0].Body[0].Sources[0].String(), o.Does[1].Sources[0].Args[0].String()}
		if diff := cmp.Diff([]string{tt.cond, tt.source, tt.compare}, got); diff != "" {
			t.Errorf("%s does (-want +got):\n%s", tt.name, diff)
		}
		// The example with a word is one order's alone, and the one with values below it goes with it.
		if checks := len(o.Checks); checks != 0 != (tt.name == "jump-not-here") || checks == 1 {
			t.Errorf("%s has %d examples", tt.name, checks)
		}
	}
}

// TestEachTarget lets a letter stand for what is set.
func TestEachTarget(t *testing.T) {
	code := mustRead(t, base+`order     clear-*
  pattern 0001 c *************
  each    c: 0 a = (A), 1 b = (B)
  does    c <- 0
          c.3, N <- z, 1
`)
	for name, register := range map[string]string{"clear-a": "A", "clear-b": "B"} {
		does := code.Order(name).Does
		if got := does[0].Targets[0].Name + does[1].Targets[0].Args[0].Name; got != register+register {
			t.Errorf("%s sets %s, want %s twice", name, got, register)
		}
	}
}

// TestExcept looks at which order reads a word that two of them match, in narrow words and in wide ones.
func TestExcept(t *testing.T) {
	orders := `order     move a
  pattern 0001 aaaaaaaaaaaaaa
  except  rest, turn-*
order     rest
  pattern 0001 00000100000000
  except  turn-on
order     turn-*
  pattern 0001 00000d 00000***
  each    d: 0 off = (0), 1 on = (1)
`
	narrow := base + orders
	wide := strings.NewReplacer("word      18", "word      20", "pattern ", "pattern 00").Replace(narrow) // too wide for a table
	for width, src := range map[int]string{18: narrow, 20: wide} {
		code := mustRead(t, src)
		for word, want := range map[memory.Word]string{
			0b0001_00000100000000: "turn-on", 0b0001_00000000000111: "turn-off", 0b0001_11000000000000: "move", 0b0001_00000100001000: "move",
		} {
			got := code.Find(word)
			if got == nil || got.Name != want {
				t.Errorf("%d bits: %018b is read by %v, want %s", width, word, got, want)
			}
		}
	}
}

// TestUndefined looks at groups of words that no order reads: the narrower comes first, and orders come before all.
func TestUndefined(t *testing.T) {
	code := mustRead(t, base+`undefined 01**************** "not fitted"  page 9-1 ?
  does    A <- 1
  cost    3
undefined 0101************** "no effect"
  does
undefined 0111************** "reserved"
order     some
  pattern 0111 1 *************
`)
	tests := []struct {
		word memory.Word
		text string
		does int // lines; -1 where nothing is said
	}{
		{0o200000, "not fitted", 1}, {0o240000, "no effect", 0}, {0o340000, "reserved", -1}, {0o600000, "", 0},
	}
	for _, tt := range tests {
		o := code.FindUndefined(tt.word)
		if o == nil || tt.text == "" {
			if o != nil || tt.text != "" {
				t.Errorf("%o is in group %v, want %q", tt.word, o, tt.text)
			}
			continue
		}
		does := len(o.Does)
		if o.Does == nil {
			does = -1
		}
		if o.Text != tt.text || does != tt.does || !o.Undefined || code.Find(tt.word) != nil {
			t.Errorf("%o is in group %q with %d lines, want %q with %d", tt.word, o.Text, does, tt.text, tt.does)
		}
	}
	if o := code.FindUndefined(0o200000); o.Cost != 3 || !o.Doubt || o.Page != "9-1" {
		t.Errorf("the group costs %d, doubt %t, page %s", o.Cost, o.Doubt, o.Page)
	}
	if got := code.Find(0o360000); got == nil || got.Name != "some" {
		t.Errorf("an order's word in a group is read by %v", got)
	}
	if got := mustRead(t, base).FindUndefined(0o200000); got != nil {
		t.Errorf("without groups a word is in %v", got)
	}
}
