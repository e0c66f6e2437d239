package order

import (
	"strings"
	"testing"

	"coldstart/memory"
)

// halved is the base with words of 16 bits that hold two orders.
func halved(first string) string {
	return strings.NewReplacer(
		"word      18", "orders    2 in a word, "+first+" first\nword      16", "P: 15 bits", "P: 16 bits", "pattern 000000000000000000", "pattern 00000000",
	).Replace(base)
}

// quartered is the base with words of 32 bits of which an address counts quarters.
var quartered = strings.NewReplacer(
	"word      18", "unit      8 bits, high end first\nword      32", "pattern 000000000000000000", "pattern "+strings.Repeat("0", 32),
).Replace(base)

// TestPlaces looks at where orders and words stand.
func TestPlaces(t *testing.T) {
	tests := []struct {
		name, src                                      string
		step, wordStep, orderWidth, placeBits          int
		place, wordOf, after, afterTwo, afterLast, put memory.Addr
		part                                           memory.Word // of 0123456
	}{
		{"whole words", base, 1, 1, 18, 15, 5, 5, 6, 7, 0, 0o777777, 0o123456},
		{"left first, second half", halved("left"), 1, 2, 8, 16, 5, 2, 6, 7, 0, 0o123777, 0o056},
		{"left first, first half", halved("left"), 1, 2, 8, 16, 4, 2, 5, 6, 0, 0o177456, 0o247},
		{"right first, first half", halved("right"), 1, 2, 8, 16, 4, 2, 5, 6, 0, 0o123777, 0o056},
		{"units", quartered, 4, 4, 32, 15, 5, 5, 9, 13, 3, 0o37777777777, 0o123456},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := mustRead(t, tt.src)
			one, two := &Order{Patterns: make([]Pattern, 1)}, &Order{Patterns: make([]Pattern, 2)}
			last := memory.Addr(memory.Mask(c.PlaceBits()))
			got := []int{c.Step(), c.WordStep(), c.OrderWidth(), c.PlaceBits()}
			for i, want := range []int{tt.step, tt.wordStep, tt.orderWidth, tt.placeBits} {
				if got[i] != want {
					t.Errorf("step, word step, order width, place bits: %v; number %d should be %d", got, i, want)
				}
			}
			places := []memory.Addr{c.WordOf(tt.place), c.After(tt.place, one), c.After(tt.place, two), c.After(last, nil)}
			for i, want := range []memory.Addr{tt.wordOf, tt.after, tt.afterTwo, tt.afterLast} {
				if places[i] != want {
					t.Errorf("word of %d, after one, after two, after the last: %v; number %d should be %d", tt.place, places, i, want)
				}
			}
			w := memory.Word(0o123456)
			if part := c.Part(tt.place, w); part != tt.part || c.Put(tt.place, w, part) != w&memory.Mask(c.Geometry.Width) {
				t.Errorf("part %d of %o is %o, want %o; put back it gives %o", tt.place, w, part, tt.part, c.Put(tt.place, w, part))
			}
			if got := c.Put(tt.place, w, memory.Mask(c.OrderWidth())); got != memory.Word(tt.put) {
				t.Errorf("ones put into part %d of %o give %o, want %o", tt.place, w, got, tt.put)
			}
			if c.WordOf(c.PlaceOf(3)) != 3 {
				t.Errorf("the word at the place of word 3 is %d", c.WordOf(c.PlaceOf(3)))
			}
		})
	}
}

// TestReadPieces looks at pieces of a word, and at the width of a place.
func TestReadPieces(t *testing.T) {
	code := mustRead(t, quartered+`order     load a
  pattern 0001 0000 aaaaaaaa aaaaaaaa aaaaaaaa
  does    store[cut(a, 15), 8] <- store[P, 16].7-0
          P <- after(here)
`)
	if g := code.Geometry; g.Unit != 8 || g.LowFirst {
		t.Errorf("unit %d, low first %t", g.Unit, g.LowFirst)
	}
	does := code.Order("load").Does
	target, source := does[0].Targets[0], does[0].Sources[0]
	if target.Width != 8 || target.String() != "store[cut(a, 15), 8]" || source.String() != "store[P, 16].7-0" || source.Args[0].Width != 16 {
		t.Errorf("%s with %d bits <- %s of %d", target, target.Width, source, source.Args[0].Width)
	}
	if after := does[1].Sources[0]; after.Op != "after" || after.Width != 15 || after.Args[0].Op != "here" {
		t.Errorf("%s is %s with %d bits", after, after.Op, after.Width)
	}
	packed := mustRead(t, halved("left")+"order go\n  pattern 1 *******\n  does P <- here\n")
	if here := packed.Order("go").Does[0].Sources[0]; here.Width != 16 || packed.PerWord != 2 {
		t.Errorf("here has %d bits, %d orders a word", here.Width, packed.PerWord)
	}
	if got := packed.Find(0o252); got == nil || got.Name != "go" {
		t.Errorf("half a word is read by %v", got)
	}
}
