package plant

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Traffic is an evening by the clock: who calls whom, what is typed, and what should be printed. Times are counted from
// power-up.
type Traffic struct {
	Calls    []Call
	Typed    []Typed
	Expected []Expected
}

// Last is the last time that is named: of a call that begins, a line that is typed, or text that should have been printed.
func (t *Traffic) Last() cpu.Time {
	var last cpu.Time
	for i := range t.Calls {
		last = max(last, t.Calls[i].At)
	}
	for i := range t.Typed {
		last = max(last, t.Typed[i].At)
	}
	for i := range t.Expected {
		last = max(last, t.Expected[i].Before)
	}
	return last
}

// A Call is one call that somebody will make.
type Call struct {
	At         cpu.Time // when the caller goes off-hook, or the far end of a trunk seizes it
	From       int      // terminal of the caller
	Name       string   // of the caller, as the list has it
	Digits     string   // as dialled: 0-9, A-D, *, #
	Answers    cpu.Time // after ringing begins; cpu.Never: nobody does
	Talks      cpu.Time // from the answer to somebody hanging up
	CalledEnds bool     // the called party hangs up first, not the caller
	Waits      cpu.Time // for dial tone, and for an answer once all is dialled
	Tone       cpu.Time // how long a digit sounds
	Pause      cpu.Time // and how long it is quiet until the next
	Off        int      // tenths of a percent that both frequencies are too high; too low below 0
	Level      int      // of the low tone, in dBm
	Twist      int      // dB that the high tone is above the low one; below 0 it is weaker
}

// A Typed is a line typed at a teletypewriter.
type Typed struct {
	At      cpu.Time
	Channel list.Word
	Text    string
}

// An Expected is text that should be printed by a time.
type Expected struct {
	Channel list.Word
	Text    string
	Before  cpu.Time
}

// The records of a traffic list.
var forms = []list.Form{
	{Shape: "call at TIME from line|trunk NUMBER dials DIGITS ...", Min: 7, Max: -1},
	{Shape: `type at TIME on CHANNEL "TEXT"`, Min: 6, Max: 6},
	{Shape: `expect on CHANNEL "TEXT" before TIME`, Min: 6, Max: 6},
}

// ReadTraffic reads a traffic list for an exchange, as the manual has it; numbers of lines and trunks are written as the machine
// file writes numbers. The error is a go/scanner.ErrorList.
func ReadTraffic(file string, src []byte, spec Spec, style memory.Style) (*Traffic, error) {
	records, err := list.Read(file, src)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	t := new(Traffic)
	last := cpu.Time(0)
	for _, r := range list.Check(&errs, file, records, forms) {
		s := &event{Settings: list.NewSettings(&errs, r, 1), spec: spec, style: style}
		at := last
		switch r.Name() {
		case "call":
			at = s.call(t)
		case "type":
			at = s.typed(t)
		case "expect":
			s.expected(t)
		}
		if s.OK() && at < last {
			errs.Add(r.Pos, "%v is before %v in a line above: put what happens in the order of its time", at, last)
		}
		last = max(last, at)
	}
	if err := errs.Err(); err != nil {
		return nil, err
	}
	return t, nil
}

// event is a record of a traffic list being read.
type event struct {
	*list.Settings
	spec  Spec
	style memory.Style
}

// call reads a call, and gives its time.
func (s *event) call(t *Traffic) cpu.Time {
	c := Call{Level: level, Answers: answers, Talks: 20 * cpu.Second, Waits: patience, Tone: 50 * cpu.Millisecond, Pause: 50 * cpu.Millisecond}
	if s.Name("at"); s.OK() {
		c.At = cpu.ReadTime(s.Settings)
	}
	if s.Name("from"); s.OK() {
		s.from(&c)
	}
	if s.Name("dials"); s.OK() {
		c.Digits = s.digits()
	}
	times := []*cpu.Time{nil, nil, nil, nil, nil, &c.Talks, &c.Waits, &c.Tone, &c.Pause}
	for s.More() {
		switch i := s.Name("answers", "ends", "off", "level", "twist", "talks", "waits", "tone", "pause"); i {
		case -1:
		case 0:
			c.Answers = s.answers()
		case 1:
			c.CalledEnds = s.Name("caller", "called") == 1
		case 2:
			c.Off = s.off()
		case 3:
			c.Level = s.decibels("the level of the low tone", "dBm", -80, 10)
		case 4:
			c.Twist = s.decibels("how much stronger the high tone is", "dB", -40, 40)
		default:
			*times[i] = cpu.ReadTime(s.Settings)
		}
	}
	t.Calls = append(t.Calls, c)
	return c.At
}

// from reads who calls.
func (s *event) from(c *Call) {
	kinds := []string{"line", "trunk"}
	k := s.Name(kinds...)
	w, ok := s.Next("a number of a line or trunk")
	if k < 0 || !ok {
		return
	}
	n, err := s.style.Parse(w.Text)
	count, at := s.spec.Lines, 0
	if k == 1 {
		count, at = s.spec.Trunks, s.spec.TrunksAt
	}
	switch {
	case err != nil:
		s.Wrong("%v; the number of a %s belongs here", err, kinds[k])
	case n >= uint64(count):
		s.Wrong("there is no %s %s: this office has %d, and the last is %s", kinds[k], w.Text, count, s.style.Number(uint64(max(0, count-1))))
	}
	c.From, c.Name = at+int(n), kinds[k]+" "+w.Text
}

// digits reads what is dialled.
func (s *event) digits() string {
	w, _ := s.Next("the digits dialled")
	if len(w.Text) > 32 {
		s.Wrong("%d digits: nobody dials more than 32", len(w.Text))
	}
	for _, d := range w.Text {
		if !strings.ContainsRune(Keys, d) {
			s.Wrong("%q is on no push button; a number is dialled with 0-9, A-D, * and #", d)
			break
		}
	}
	return w.Text
}

// answers reads when somebody answers.
func (s *event) answers() cpu.Time {
	if s.Peek().Text == "never" {
		s.Next("")
		return cpu.Never
	}
	return cpu.ReadTime(s.Settings)
}

// off reads how far frequencies are off, in percent with at most one decimal, and gives it in tenths of one.
func (s *event) off() int {
	w, _ := s.Next("how many percent the tones are off")
	value, ok := new(big.Rat).SetString(w.Text)
	if ok {
		value.Mul(value, big.NewRat(10, 1))
		ok = value.IsInt() && len(w.Text) <= 6 && value.Num().IsInt64()
	}
	if !ok || max(value.Num().Int64(), -value.Num().Int64()) > 200 {
		s.Wrong("%q is none of -20 to 20 percent, in tenths", w.Text)
		return 0
	}
	s.Name("%")
	return int(value.Num().Int64())
}

// decibels reads a whole number within bounds, and its unit.
func (s *event) decibels(what, unit string, low, high int) int {
	w, _ := s.Next(what)
	n, err := strconv.Atoi(w.Text)
	if err != nil || n < low || n > high {
		s.Wrong("%q is not %s: write a whole number from %d to %d, and %s behind it", w.Text, what, low, high, unit)
		return 0
	}
	s.Name(unit)
	return n
}

// typed reads a line to be typed.
func (s *event) typed(t *Traffic) cpu.Time {
	var e Typed
	if s.Name("at"); s.OK() {
		e.At = cpu.ReadTime(s.Settings)
	}
	if s.Name("on"); s.OK() {
		e.Channel, _ = s.Next("a channel")
	}
	if w, ok := s.Next("the text typed, in quotes"); ok {
		e.Text = w.Text
	}
	t.Typed = append(t.Typed, e)
	return e.At
}

// expected reads what should be printed.
func (s *event) expected(t *Traffic) {
	var e Expected
	if s.Name("on"); s.OK() {
		e.Channel, _ = s.Next("a channel")
	}
	if w, ok := s.Next("the text expected, in quotes"); ok {
		e.Text = w.Text
	}
	if s.Name("before"); s.OK() {
		e.Before = cpu.ReadTime(s.Settings)
	}
	t.Expected = append(t.Expected, e)
}

// String is a call as somebody tells of it.
func (c *Call) String() string { return fmt.Sprintf("%v from %s dialling %s", c.At, c.Name, c.Digits) }
