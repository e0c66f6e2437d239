package channel

import (
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// keyboard is the sending side of a teletypewriter: what is typed comes over the line a character at a time, and one
// character is held for the machine.
type keyboard struct {
	line  *LineSpec
	keys  []stroke // in the order of their times; only ever added to
	come  int      // of keys that have come over the line
	held  memory.Word
	holds bool
	lost  int // that came while one was held
}

// A stroke is a character typed, and when it has come over the line.
type stroke struct {
	at   cpu.Time
	code byte
}

// add types codes from a time on, or from when the line is free.
func (k *keyboard) add(codes []byte, at cpu.Time) {
	if n := len(k.keys); n > 0 {
		at = max(at, k.keys[n-1].at)
	}
	for i, c := range codes {
		k.keys = append(k.keys, stroke{at + k.line.span(i+1), k.line.Parity.With(c, k.line.Code.Units)})
	}
}

// advance takes in what has come over the line by now. What comes while a character is held is lost.
func (k *keyboard) advance(now cpu.Time) {
	for k.come < len(k.keys) && k.keys[k.come].at <= now {
		if k.holds {
			k.lost++
		} else {
			k.held, k.holds = memory.Word(k.keys[k.come].code), true
		}
		k.come++
	}
}

// take gives the character held.
func (k *keyboard) take() memory.Word {
	w := k.held
	k.held, k.holds = 0, false
	return w
}

// next is when the next character has come.
func (k *keyboard) next(now cpu.Time) cpu.Time {
	for _, s := range k.keys[k.come:] {
		if s.at > now {
			return s.at
		}
	}
	return cpu.Never
}

// Type lets somebody type text at a teletypewriter from a time on, as fast as its line takes it, and then return the
// carriage. What is typed is not printed: a program that wants it on paper sends it back. The error names a character that
// is not on its keyboard; then nothing is typed.
func (t *Teletypewriter) Type(text string, at cpu.Time) error {
	codes, err := t.line.Code.Encode(text + string(rune(carriageReturn)))
	if err != nil {
		return err
	}
	t.keys.keys = slices.Clip(t.keys.keys) // a copy may share them
	t.keys.add(codes, at)
	return nil
}

// Overrun is how many characters typed were lost, because the machine had not taken the one before.
func (t *Teletypewriter) Overrun(now cpu.Time) int {
	t.keys.advance(now)
	return t.keys.lost
}
