package panel

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// small is a machine of 18 bits with two rows of lamps, a register and a flip-flop.
func small() *order.Code {
	return &order.Code{
		Geometry: memory.Geometry{
			Style: memory.Style{Radix: 8}, Width: 18, AddrBits: 15,
			Areas: []memory.Area{{Name: "ST0", Last: 0o7777, Width: 18}},
		},
		Registers: []*order.Register{{Name: "page", Width: 4}, {Name: "minus", Number: 1, Width: 1, FlipFlop: true}},
		Lamps:     []order.Lamps{{First: 0o760, Last: 0o761, Hi: 15, Lo: 0, PlugIn: "LD1"}},
	}
}

func TestLamp(t *testing.T) {
	tests := []struct{ name, want, err string }{
		{"00760.6", "00760.6", ""},
		{"760.15", "00760.15", ""},
		{"page.3", "page.3", ""},
		{"minus", "minus", ""},
		{"minus.0", "minus", ""},
		{"760.16", "", "bit 16 of row 00760 lights nothing; bits 15 to 0 do"},
		{"760.18", "", "no bit 18 in a word of 18 bits: they are numbered 0 to 17 from the right"},
		{"760", "", `"760" names a row, not a lamp; write a bit after it, such as 00760.0`},
		{"760.x", "", `"760.x" names no lamp; after the point belongs a bit number, such as 00760.0`},
		{"777.1", "", `"777" is no lamp row or register here; known are: 00760, 00761, page, minus`},
		{"pgae.1", "", `"pgae" is no lamp row or register here; the nearest is "page"`},
	}
	p := New(small())
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			lamp, err := p.Lamp(test.name)
			if err != nil {
				if err.Error() != test.err {
					t.Errorf("Lamp(%q): error %q, want %q", test.name, err, test.err)
				}
				return
			}
			if got := p.Name(lamp); got != test.want || test.err != "" {
				t.Errorf("Lamp(%q) is %s, want %s, %s", test.name, got, test.want, test.err)
			}
		})
	}
}

// Every lamp is found again by its name, however a handbook counts its bits.
func TestLampNames(t *testing.T) {
	for _, style := range []memory.Style{{Radix: 8}, {Radix: 16, FirstBit: 1}, {Radix: 10, FirstBit: 1, FromLeft: true}} {
		code := small()
		code.Geometry.Style = style
		p := New(code)
		for _, row := range append(p.Rows(), p.registers...) {
			for bit := row.Lo; bit <= row.Hi; bit++ {
				want := Lamp{row, bit}
				got, err := p.Lamp(p.Name(want))
				if err != nil || got != want {
					t.Errorf("%+v: lamp %s is found as %+v, %v", style, p.Name(want), got, err)
				}
			}
		}
	}
}

func TestRow(t *testing.T) {
	p := New(small())
	if row, ok := p.Row(0o761); !ok || row.Name != "00761" || row.PlugIn != "LD1" {
		t.Errorf("row at 761 = %+v, %v", row, ok)
	}
	if row, ok := p.Row(0o762); ok {
		t.Errorf("row at 762 = %+v, want none", row)
	}
}

// source shows the same word asked for and seen in every row, and the lamps after a driver.
func source(w memory.Word, light func(memory.Addr, memory.Word) memory.Word) Source {
	return Source{
		Asked: func(memory.Addr) (memory.Word, bool) { return w, true },
		Seen:  func(memory.Addr) memory.Word { return w },
		Light: light,
	}
}

func faithful(_ memory.Addr, w memory.Word) memory.Word { return w }

func TestPicture(t *testing.T) {
	const numbers = "       15 14 13 12 11 10  9  8  7  6  5  4  3  2  1  0\n"
	const row760, row761 = "00760   .  .  .  .  .  .  .  .  .  @  .  .  .  .  .  .   ", "00761   .  .  .  .  .  .  .  .  .  @  .  .  .  .  .  .   "
	const below = "        "
	tests := []struct {
		name   string
		source func(*Source)
		want   string
	}{
		{"in order", func(*Source) {}, row760 + "000100\n" + row761 + "000100\n"},
		{"nothing asked yet", func(s *Source) {
			s.Asked = func(memory.Addr) (memory.Word, bool) { return 0, false }
		}, row760 + "000100\n" + row761 + "000100\n"},
		{"a dark lamp", func(s *Source) {
			s.Seen = func(memory.Addr) memory.Word { return 0o101 }
			s.Asked = func(memory.Addr) (memory.Word, bool) { return 0o101, true }
			s.Light = func(memory.Addr, memory.Word) memory.Word { return 0o100 }
		}, row760 + "000101\n" + below + "lamp 0 dark against the word\n" + row761 + "000101\n" + below + "lamp 0 dark against the word\n"},
		{"a lamp lit", func(s *Source) {
			s.Seen = func(memory.Addr) memory.Word { return 0 }
			s.Asked = func(memory.Addr) (memory.Word, bool) { return 0, true }
			s.Light = func(memory.Addr, memory.Word) memory.Word { return 0o600100 }
		}, row760 + "000000\n" + below + "lamp 6 lit against the word\n" + row761 + "000000\n" + below + "lamp 6 lit against the word\n"},
		{"the store shows what was not asked", func(s *Source) {
			s.Asked = func(a memory.Addr) (memory.Word, bool) { return 0o100 | memory.Word(a&1)<<17, true }
		}, row760 + "000100\n" + row761 + "000100\n" + below + "asked was 400100\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := source(0o100, faithful)
			test.source(&s)
			if diff := cmp.Diff(numbers+test.want, New(small()).Picture(s).String()); diff != "" {
				t.Errorf("picture (-want +got)\n%s", diff)
			}
		})
	}
}

func ExamplePanel() {
	s := source(0o120001, faithful)
	s.Register = func(r *order.Register) memory.Word { return 1 }
	fmt.Print(New(small()).Picture(s))
	// Output:
	//        15 14 13 12 11 10  9  8  7  6  5  4  3  2  1  0
	// 00760   @  .  @  .  .  .  .  .  .  .  .  .  .  .  .  @   120001
	// 00761   @  .  @  .  .  .  .  .  .  .  .  .  .  .  .  @   120001
	//         3  2  1  0
	// page    .  .  .  @   01
	//         0
	// minus   @   1
}
