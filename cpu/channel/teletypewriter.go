package channel

import (
	"math/bits"
	"slices"
	"strings"

	"coldstart/cpu"
)

// A Parity is what the eighth bit of a character on a line is for.
type Parity uint8

// What the eighth bit can be for. ANSI X3.16 makes it even on an asynchronous line (from memory).
const (
	NoParity Parity = iota
	Even
	Odd
)

// A Teletypewriter prints characters, one at a time, at the rate of its line. A character sent while it is busy is lost.
// Codes are kept as they came: to show them harmlessly is the business of whoever shows them. What is typed at it comes
// over a line of its own, see Type.
type Teletypewriter struct {
	character cpu.Time // start to end of one character on the line
	parity    Parity
	busy      cpu.Time // until when the character in hand is on the line
	lost      int
	lines     []Line // the last one may be growing
	open      bool   // it is: no end of line has come
	keys      keyboard
	typed     []TypedLine
	typedSign int
}

// A Line is one line as the teletypewriter printed it.
type Line struct {
	At    cpu.Time // when its first character was sent
	Done  cpu.Time // when its last character was printed
	Codes []byte   // as sent, the end of line included
	Wrong int      // characters of wrong parity among them
	Lost  int      // characters lost while one of these was being printed
	Ended bool     // it ends with a line feed
}

// NewTeletypewriter is a teletypewriter with blank paper that takes the given time for a character.
func NewTeletypewriter(character cpu.Time, parity Parity) *Teletypewriter {
	return &Teletypewriter{character: character, parity: parity, keys: keyboard{character: character, parity: parity}, typedSign: typedSign}
}

// The ASCII codes that end a line, or print nothing and move nothing (ANSI X3.4).
const (
	null           = 0x00
	lineFeed       = 0x0A
	carriageReturn = 0x0D
	rubOut         = 0x7F
)

// typedSign is the number of the sign that says that a character typed waits, where a list states no other.
const typedSign = 5

// Do carries out one action: sign 0, ready, is up while a character can be taken, and the sign for typing while one that was
// typed waits, which is then received.
func (t *Teletypewriter) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	switch {
	case a.Verb == cpu.Send:
		t.take(byte(a.Word), now)
	case a.Verb == cpu.Sign && a.Sign == 0 && now >= t.busy:
		return cpu.Reply{Word: 1}
	case a.Verb == cpu.Sign && a.Sign == t.typedSign:
		if t.keys.advance(now); t.keys.holds {
			return cpu.Reply{Word: 1}
		}
	case a.Verb == cpu.Receive:
		t.keys.advance(now)
		return cpu.Reply{Word: t.keys.take()}
	}
	return cpu.Reply{}
}

// Next is when it becomes ready, or has the next character that is typed.
func (t *Teletypewriter) Next(now cpu.Time) cpu.Time {
	next := t.keys.next(now)
	if t.busy > now {
		next = min(next, t.busy)
	}
	return next
}

// Clone is a teletypewriter in the same state, the paper printed so far included.
func (t *Teletypewriter) Clone() Device {
	c := *t
	c.lines = slices.Clone(t.lines)
	for i := range c.lines {
		// Clipped, so that neither can write into the other's growing line.
		c.lines[i].Codes = slices.Clip(c.lines[i].Codes)
	}
	return &c
}

// take begins to print a character, or loses it.
func (t *Teletypewriter) take(code byte, now cpu.Time) {
	if now < t.busy {
		// The line of the character in hand, even if that character has ended it.
		t.lines[len(t.lines)-1].Lost++
		t.lost++
		return
	}
	if !t.open {
		t.lines = append(t.lines, Line{At: now})
	}
	t.busy = now + t.character
	line := &t.lines[len(t.lines)-1]
	line.Codes = append(line.Codes, code)
	line.Done = t.busy
	if t.parity != NoParity && bits.OnesCount8(code)%2 == 1 != (t.parity == Odd) {
		line.Wrong++
	}
	line.Ended = code&rubOut == lineFeed
	t.open = !line.Ended
}

// Len is how many lines there are on the paper, the one being printed included.
func (t *Teletypewriter) Len() int { return len(t.lines) }

// Line is line i of the paper, from 0; its Codes are not to be changed.
func (t *Teletypewriter) Line(i int) Line { return t.lines[i] }

// Lost is how many characters were sent while it was busy.
func (t *Teletypewriter) Lost() int { return t.lost }

// Text is the characters of a line as ASCII, the parity bit, the end of line and whatever fills time left out. Other
// control codes are still in it.
func (l Line) Text() string {
	text := make([]byte, 0, len(l.Codes))
	for _, code := range l.Codes {
		switch c := code & rubOut; c {
		case null, rubOut, lineFeed, carriageReturn:
		default:
			text = append(text, c)
		}
	}
	return string(text)
}

// Printed is when the first line that holds a text was printed; cpu.Never where none was.
func (t *Teletypewriter) Printed(text string) cpu.Time {
	for i := range t.lines {
		if strings.Contains(t.lines[i].Text(), text) {
			return t.lines[i].Done
		}
	}
	return cpu.Never
}
