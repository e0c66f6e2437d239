package channel

import (
	"math/big"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"coldstart/cpu"
	"coldstart/cpu/channel/code"
	"coldstart/memory"
)

// An 'A' with even parity (ANSI X3.4 and X3.16, code from memory) takes 11 units of a 110 baud line: 100 ms exactly.
func TestTeletypewriterRate(t *testing.T) {
	tty := parse(t, "device TT1 teletypewriter baud 110 units 11 parity even").(*Teletypewriter)
	k := desk{tty}
	k.send(0, 0x41)
	for _, step := range []struct {
		at    cpu.Time
		ready bool
		next  cpu.Time
	}{
		{0, false, 100 * cpu.Millisecond},
		{100*cpu.Millisecond - 1, false, 100 * cpu.Millisecond},
		{100 * cpu.Millisecond, true, cpu.Never},
	} {
		if ready, next := k.sign(step.at, 0), tty.Next(step.at); ready != step.ready || next != step.next {
			t.Errorf("at %v: ready %v, next %v; want %v, %v", step.at, ready, next, step.ready, step.next)
		}
	}
}

// Codes with even parity, computed from ANSI X3.4: A 41, 3 33, U 55, space A0, carriage return 8D, line feed 0A.
func TestTeletypewriterTranscript(t *testing.T) {
	const ms = cpu.Millisecond
	tests := []struct {
		name string
		sent map[cpu.Time]memory.Word
		want []Line
		text []string
	}{
		{"nothing", nil, nil, nil},
		{"two lines", map[cpu.Time]memory.Word{0: 0x41, 100 * ms: 0x8D, 200 * ms: 0x0A, 450 * ms: 0x33},
			[]Line{
				{At: 0, Done: 300 * ms, Codes: []byte{0x41, 0x8D, 0x0A}, Ended: true},
				{At: 450 * ms, Done: 550 * ms, Codes: []byte{0x33}},
			}, []string{"A", "3"}},
		{"wrong parity", map[cpu.Time]memory.Word{0: 0x41, 100 * ms: 0xC1, 200 * ms: 0xA0},
			[]Line{{At: 0, Done: 300 * ms, Codes: []byte{0x41, 0xC1, 0xA0}, Wrong: []byte{0xC1}}}, []string{"AA "}},
		{"sent while busy", map[cpu.Time]memory.Word{0: 0x41, 50 * ms: 0x33, 100*ms - 1: 0x33, 100 * ms: 0x55},
			[]Line{{At: 0, Done: 200 * ms, Codes: []byte{0x41, 0x55}, Lost: 2}}, []string{"AU"}},
		{"lost while the line ends", map[cpu.Time]memory.Word{0: 0x0A, 1: 0x41, 100 * ms: 0x41},
			[]Line{{At: 0, Done: 100 * ms, Codes: []byte{0x0A}, Lost: 1, Ended: true},
				{At: 100 * ms, Done: 200 * ms, Codes: []byte{0x41}}}, []string{"", "A"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			tty := NewTeletypewriter(evenLine())
			k, lost := desk{tty}, 0
			for _, at := range sorted(test.sent) {
				k.send(at, test.sent[at])
			}
			var got []Line
			var text []string
			for i := range tty.Len() {
				got, text = append(got, tty.Line(i)), append(text, tty.Line(i).Text())
				lost += tty.Line(i).Lost
			}
			if diff := cmp.Diff(test.want, got, cmpopts.IgnoreUnexported(Line{})); diff != "" {
				t.Errorf("lines (-want +got)\n%s", diff)
			}
			if diff := cmp.Diff(test.text, text); diff != "" {
				t.Errorf("text (-want +got)\n%s", diff)
			}
			if tty.Lost() != lost {
				t.Errorf("Lost() = %d, the lines say %d", tty.Lost(), lost)
			}
		})
	}
}

// evenLine is the line of a teletypewriter of 110 baud and 11 units with even parity: 100 ms a character.
func evenLine() LineSpec {
	l := DefaultLine()
	l.Parity = code.Even
	return l
}

func TestParityTotal(t *testing.T) {
	for parity, wrong := range map[code.Parity]int{code.None: 0, code.Even: 128, code.Odd: 128} {
		tty := NewTeletypewriter(LineSpec{Code: code.ASCII, Parity: parity, Baud: big.NewRat(11e12, 1), Units: big.NewRat(11, 1)})
		for c := range 256 {
			desk{tty}.send(cpu.Time(c), memory.Word(c))
		}
		got := 0
		for i := range tty.Len() {
			got += len(tty.Line(i).Wrong)
		}
		if got != wrong {
			t.Errorf("parity %d: %d of 256 codes wrong, want %d", parity, got, wrong)
		}
	}
}

// A character of wrong parity is shown as it stands on the line: 301 for an A with even parity, whose own bits are 0 10000010 11.
func TestRaw(t *testing.T) {
	tty := NewTeletypewriter(evenLine())
	k := desk{tty}
	k.send(0, 0xC1)
	if got := tty.Line(0).Raw(); len(got) != 1 || got[0] != "01000001111" {
		t.Errorf("raw is %q, want 0, the code from its lowest bit up with the parity bit, and two stops", got)
	}
	five := NewTeletypewriter(LineSpec{Code: code.ITA2, Baud: big.NewRat(50, 1), Units: big.NewRat(15, 2)})
	desk{five}.send(0, 0x4A) // a bit more than the line has, over an R
	if got := five.Line(0).Raw(); len(got) != 1 || got[0] != "0010101" {
		t.Errorf("raw is %q, want what five units let through of it", got)
	}
}

// What is typed comes at the rate of the line, each character rounded from its exact fraction (checks of ASCII and ITA2 lines:
// 100 ms a character at 110 baud and 11 units; 165.0 ms at 45.45 baud and 7.5 units, and 163.3 ms with 7.42).
func TestTyped(t *testing.T) {
	for _, test := range []struct {
		line LineSpec
		each cpu.Time
	}{
		{DefaultLine(), 100 * cpu.Millisecond},
		{LineSpec{Code: code.ITA2, Baud: big.NewRat(4545, 100), Units: big.NewRat(15, 2)}, 165_016_501_650},
		{LineSpec{Code: code.ITA2, Baud: big.NewRat(4545, 100), Units: big.NewRat(742, 100)}, 163_256_325_633},
	} {
		tty := NewTeletypewriter(test.line)
		if err := tty.Type("RYRY", cpu.Second); err != nil {
			t.Fatal(err)
		}
		k := desk{tty}
		for i := range 5 { // four letters and the return
			at := cpu.Second + test.line.span(i+1)
			if off := at - cpu.Second - test.each*cpu.Time(i+1); off < -5 || off > 5 {
				t.Errorf("character %d comes %d ps off", i, off)
			}
			if k.sign(at-1, 5) || !k.sign(at, 5) {
				t.Errorf("character %d does not come just at %v", i, at)
			}
			want, _ := test.line.Code.Encode("RYRY\r")
			if got := k.receive(at).Word; got != memory.Word(want[i]) {
				t.Errorf("character %d is %02X, want %02X", i, got, want[i])
			}
		}
	}
}

// A machine that takes a character late finds the first, and what came while it was held is lost and counted.
func TestOverrunTyping(t *testing.T) {
	tty := NewTeletypewriter(evenLine())
	if err := tty.Type("ABC", 0); err != nil {
		t.Fatal(err)
	}
	k := desk{tty}
	if got := k.receive(350 * cpu.Millisecond).Word; got != 0x41 || tty.Overrun(350*cpu.Millisecond) != 2 {
		t.Errorf("received %02X with %d lost, want 41 with 2", got, tty.Overrun(350*cpu.Millisecond))
	}
	if got := k.receive(400 * cpu.Millisecond).Word; got != 0x8D {
		t.Errorf("received %02X, want the return with even parity, 8D", got)
	}
	if err := tty.Type("é", 0); err == nil {
		t.Error("what is on no keyboard is typed")
	}
}
