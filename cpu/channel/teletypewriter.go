package channel

import (
	"math/big"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/channel/code"
)

// A Teletypewriter prints characters, one at a time, at the rate of its line. A character sent while it is busy is lost.
// Codes are kept as they came: to show them harmlessly is the business of whoever shows them. What is typed at it comes
// over a line of its own, see Type.
type Teletypewriter struct {
	line      LineSpec
	character cpu.Time // start to end of one character on the line
	busy      cpu.Time // until when the character in hand is on the line
	lost      int
	lines     []Line // the last one may be growing
	open      bool   // it is: no end of line has come
	reader    code.Reader
	keys      keyboard
	typedSign int
}

// A Line is one line as the teletypewriter printed it.
type Line struct {
	At    cpu.Time // when its first character was sent
	Done  cpu.Time // when its last character was printed
	Codes []byte   // as sent, the end of line included
	Wrong []byte   // codes among them of wrong parity, or with more bits than the line has
	Lost  int      // characters lost while one of these was being printed
	Ended bool     // it ends with a line feed

	start code.Reader // with the shift that it began in
	frame code.Frame
}

// A LineSpec is how characters stand on the line of a teletypewriter.
type LineSpec struct {
	Code   *code.Set
	Parity code.Parity
	Baud   *big.Rat // bits a second
	Units  *big.Rat // bits a character, start and stop included
}

// frame is how a character as it was sent stands on the line, its parity bit, right or wrong, among the data.
func (l *LineSpec) frame() code.Frame {
	data := l.Code.Units
	if l.Parity != code.None {
		data++
	}
	stop := new(big.Rat).Sub(l.Units, big.NewRat(int64(data+1), 1))
	if stop.Cmp(big.NewRat(2, 1)) > 0 { // an eighth bit of an ASCII line without parity
		data++
		stop.Sub(stop, big.NewRat(1, 1))
	}
	stop.Mul(stop, big.NewRat(100, 1))
	return code.Frame{Units: data, Stop: int(new(big.Int).Quo(stop.Num(), stop.Denom()).Int64())}
}

// span is how long n characters last, one behind the other: rounded once, half up, to a picosecond.
func (l *LineSpec) span(n int) cpu.Time {
	t := new(big.Rat).Quo(l.Units, l.Baud)
	t.Mul(t, new(big.Rat).SetInt64(int64(cpu.Second)))
	t.Mul(t, big.NewRat(int64(n), 1))
	t.Add(t, big.NewRat(1, 2))
	return cpu.Time(new(big.Int).Quo(t.Num(), t.Denom()).Int64())
}

// DefaultLine is the line of an ASCII teletypewriter: 110 baud and 11 units, no parity.
func DefaultLine() LineSpec {
	return LineSpec{Code: code.ASCII, Baud: big.NewRat(110, 1), Units: big.NewRat(11, 1)}
}

// NewTeletypewriter is a teletypewriter with blank paper.
func NewTeletypewriter(line LineSpec) *Teletypewriter {
	t := &Teletypewriter{line: line, character: line.span(1), typedSign: typedSign, reader: code.Reader{Set: line.Code}}
	t.keys.line = &t.line
	return t
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
	c.keys.line = &c.line
	c.lines = slices.Clone(t.lines)
	for i := range c.lines {
		// Clipped, so that neither can write into the other's growing line.
		c.lines[i].Codes, c.lines[i].Wrong = slices.Clip(c.lines[i].Codes), slices.Clip(c.lines[i].Wrong)
	}
	return &c
}

// take begins to print a character, or loses it.
func (t *Teletypewriter) take(c byte, now cpu.Time) {
	if now < t.busy {
		// The line of the character in hand, even if that character has ended it.
		t.lines[len(t.lines)-1].Lost++
		t.lost++
		return
	}
	if !t.open {
		t.lines = append(t.lines, Line{At: now, start: t.reader, frame: t.line.frame()})
	}
	t.busy = now + t.character
	line := &t.lines[len(t.lines)-1]
	line.Codes = append(line.Codes, c)
	line.Done = t.busy
	if !t.line.fits(c) {
		line.Wrong = append(line.Wrong, c)
	}
	line.Ended = t.reader.Read(c) == string(rune(lineFeed))
	t.open = !line.Ended
}

// Len is how many lines there are on the paper, the one being printed included.
func (t *Teletypewriter) Len() int { return len(t.lines) }

// Line is line i of the paper, from 0; its Codes are not to be changed.
func (t *Teletypewriter) Line(i int) Line { return t.lines[i] }

// Lost is how many characters were sent while it was busy.
func (t *Teletypewriter) Lost() int { return t.lost }

// fits tells whether a character has the parity of the line, and no more bits than it.
func (l *LineSpec) fits(c byte) bool {
	if l.Parity == code.None {
		return l.Code.Units > 5 || c>>l.Code.Units == 0 // an eighth bit of an ASCII line is let pass
	}
	return l.Parity.With(c, l.Code.Units) == c
}

// Text is the characters of a line as text, the parity bit, shifts, the end of line and whatever fills time left out. Other
// control codes are still in it.
func (l Line) Text() string {
	var text strings.Builder
	for r, codes := l.start, l.Codes; len(codes) > 0; codes = codes[1:] {
		switch c := r.Read(codes[0]); c {
		case "", string(rune(null)), string(rune(rubOut)), string(rune(lineFeed)), string(rune(carriageReturn)):
		default:
			text.WriteString(c)
		}
	}
	return text.String()
}

// Raw is how each of the codes that are wrong stands on the line, bit for bit, start and stop included.
func (l Line) Raw() []string {
	var all []string
	for _, c := range l.Wrong {
		all = append(all, l.frame.Bits(c))
	}
	return all
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
