package plant

import "coldstart/cpu"

// A Tone is what the program has put on a terminal.
type Tone uint8

// What can be put on a terminal: the numbers in bits 17-13 of the word sent. What these say to a caller is common practice,
// no source; how they sound is not modelled.
const (
	Silence Tone = iota
	DialTone
	RingBack
	BusyTone
	ReorderTone
	Ringing
)

// String is the tone as a person says it.
func (t Tone) String() string {
	names := [...]string{"silence", "dial tone", "ring-back", "busy tone", "reorder tone", "ringing"}
	if int(t) >= len(names) {
		return "no tone that there is"
	}
	return names[t]
}

// sound puts a tone on a terminal; where there is no such terminal it goes nowhere.
func (p *Plant) sound(terminal int, t Tone) {
	if terminal < len(p.tones) {
		p.tones[terminal] = t
	}
}

// The parts of a word to the trunks.
const (
	trunkBits = 1<<9 - 1
	seizeBit  = 1 << 9
	passShift = 10
)

// order seizes a trunk, passes a digit on over it, or releases it. The far end of a trunk released hangs up at once.
func (p *Plant) order(word int) {
	t := word & trunkBits
	if t >= p.spec.Trunks {
		return
	}
	terminal := p.spec.TrunksAt + t
	digit := byte(word >> passShift & 0o17)
	switch {
	case word&seizeBit == 0:
		if p.seized[t] {
			p.people.farEndFreed(p, terminal)
		}
		p.seized[t], p.passed[t] = false, nil
	case digit != 0:
		p.passed[t] = append(p.passed[t], digit)
	default:
		p.seized[t] = true
	}
}

// alerted tells whether whoever is at a terminal is being called: a line rings, or a trunk is seized by the program.
func (p *Plant) alerted(terminal int) bool {
	switch p.kindOf(terminal) {
	case line:
		return p.tones[terminal] == Ringing
	case trunk:
		return p.seized[terminal-p.spec.TrunksAt]
	}
	return false
}

// Tone is what is on a terminal at a time.
func (p *Plant) Tone(terminal int, now cpu.Time) Tone {
	p.advance(now)
	return p.tones[terminal]
}

// Passed is the digits passed on over a trunk since it was seized, 1 to 10, where 10 is a dialled 0.
func (p *Plant) Passed(trunk int) []byte { return p.passed[trunk] }
