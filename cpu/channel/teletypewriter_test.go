package channel

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
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
			[]Line{{At: 0, Done: 300 * ms, Codes: []byte{0x41, 0xC1, 0xA0}, Wrong: 1}}, []string{"AA "}},
		{"sent while busy", map[cpu.Time]memory.Word{0: 0x41, 50 * ms: 0x33, 100*ms - 1: 0x33, 100 * ms: 0x55},
			[]Line{{At: 0, Done: 200 * ms, Codes: []byte{0x41, 0x55}, Lost: 2}}, []string{"AU"}},
		{"lost while the line ends", map[cpu.Time]memory.Word{0: 0x0A, 1: 0x41, 100 * ms: 0x41},
			[]Line{{At: 0, Done: 100 * ms, Codes: []byte{0x0A}, Lost: 1, Ended: true},
				{At: 100 * ms, Done: 200 * ms, Codes: []byte{0x41}}}, []string{"", "A"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			tty := NewTeletypewriter(100*ms, Even)
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
			if diff := cmp.Diff(test.want, got); diff != "" {
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

func TestParityTotal(t *testing.T) {
	for parity, wrong := range map[Parity]int{NoParity: 0, Even: 128, Odd: 128} {
		tty := NewTeletypewriter(1, parity)
		for code := range 256 {
			desk{tty}.send(cpu.Time(code), memory.Word(code))
		}
		got := 0
		for i := range tty.Len() {
			got += tty.Line(i).Wrong
		}
		if got != wrong {
			t.Errorf("parity %d: %d of 256 codes wrong, want %d", parity, got, wrong)
		}
	}
}
