// Package debug is the desk: a Session carries out the words a person types at it on one half of a machine, order by order
// or at full speed, and says what happened. It owns no terminal and no file; package repl brings the lines to it.
package debug

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/cpu/order"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Setup is what a Session starts from.
type Setup struct {
	Office string        // what the half belongs to, for the welcome
	Half   *duplex.Half  // with its power off, so that the session sees what start-up sets
	Pair   *duplex.Pair  // that Half is A of; nil: it stands alone
	Image  *memory.Image // where the words in store came from; nil where nobody knows
	Plan   *watch.Plan   // chases and milestones to wait for; nil: none
	Jams   []jam.Jam     // those in already, of both halves
	// Witness says who speaks for a word of a merged recording, "" where nobody does; nil: nobody ever does.
	Witness func(memory.Origin) string
	Out     io.Writer // everything the desk says
	Resume  int       // how often the resume key is pressed at halts without being asked
	// Basis tells what the machine rests on from any other: machine file, tapes, jams, start. Save writes a file, whole or not at
	// all, and Open reads one; nil: there are none.
	Basis string
	// Handbook is the text of the machine file, for what its lines say; "": nobody has it.
	Handbook string
	Save     func(name string, data []byte) error
	Open     func(name string) ([]byte, error)
	// Tape reads the recording in a file, with a digest of it; nil: no tape can be seated. Files names the files there are, for
	// who completes a line; nil: nobody does. Live shows the lamp rows at a time while the machine runs; nil: nobody can.
	Tape  func(file string) (channel.Blocks, string, error)
	Files func() []string
	Live  func(now cpu.Time, rows string)
	Busy  func(what string) // is told what takes a while before it begins; nil: nobody waits
	Stop  func() bool       // asked now and then while the machine runs: true ends the run; nil: never
}

// A Session carries out desk words on one half; it owns no terminal. Nothing typed at it ends it but `leave`.
type Session struct {
	office       string
	half         *duplex.Half
	pair         *duplex.Pair // nil: the half stands alone
	other        *seat        // at the other half of a pair
	code         *order.Code
	out          io.Writer
	stop         func() bool
	basis        string
	handbookText string
	save         func(name string, data []byte) error
	open         func(name string) ([]byte, error)
	tape         func(file string) (channel.Blocks, string, error)
	files        func() []string
	show         func(now cpu.Time, rows string)
	busy         func(what string)
	live         bool                      // the lamps are shown while the machine runs
	reels        map[string]channel.Blocks // seated at the desk, by digest
	witness      func(memory.Origin) string
	eye          *eye
	plan         *watch.Plan // never nil
	holds        []hold      // in the order they were set
	lastNo       int         // number of the hold set last
	pegs         []peg
	jams         []jam.Jam
	notes        []note
	keyed        map[memory.Addr]int64 // orders done when a person last altered a word
	longest      int                   // words of the longest order
	presses      int                   // of the resume key that are left
	left         bool

	past      []*moment // kept on the way, the oldest first
	acts      []act     // what was done by hand, in order
	lastSeen  *moment   // nil: the desk has seen every order done; see quick.go
	stretch   int64     // orders taken unseen at a time
	watchTo   int64     // up to here orders are to be seen
	quiet     bool      // what is said is only noted to have been said
	spoken    bool
	forgot    bool   // acts were let go: what was done cannot be told from power-up on
	stops     []stop // where the machine stood between words
	kept      map[string]*moment
	following []string // routines being carried out
	replaying bool     // what is done now was done before: nothing is said, and nothing stops it
}

// New makes a session and lets it watch the half from here on. Start is for the caller to say.
func New(setup Setup) *Session {
	h := setup.Half
	s := &Session{
		office: setup.Office, half: h, code: h.Machine.Code(), out: setup.Out, stop: setup.Stop, witness: setup.Witness, plan: setup.Plan, jams: of(h, setup.Jams),
		keyed: map[memory.Addr]int64{}, longest: 1, presses: setup.Resume, stretch: stretch,
	}
	s.handbookText = setup.Handbook
	s.basis, s.save, s.open = setup.Basis, setup.Save, setup.Open
	if s.save == nil {
		s.save = func(string, []byte) error { return errors.New("no files can be written from this desk") }
	}
	if s.open == nil {
		s.open = func(string) ([]byte, error) { return nil, errors.New("no files can be read at this desk") }
	}
	s.tape, s.files, s.show, s.busy, s.reels = setup.Tape, setup.Files, setup.Live, setup.Busy, map[string]channel.Blocks{}
	if s.busy == nil {
		s.busy = func(string) {}
	}
	if s.files == nil {
		s.files = func() []string { return nil }
	}
	if s.witness == nil {
		s.witness = func(memory.Origin) string { return "" }
	}
	if s.stop == nil {
		s.stop = func() bool { return false }
	}
	if s.plan == nil {
		s.plan = new(watch.Plan)
	}
	for _, o := range s.code.Orders {
		s.longest = max(s.longest, o.Length())
	}
	s.eye = s.newEye(h, setup.Image)
	s.couple(setup)
	return s
}

// newEye lets the session watch a half.
func (s *Session) newEye(h *duplex.Half, image *memory.Image) *eye {
	record := trail.New(s.code, image)
	e := &eye{session: s, half: h, record: record}
	e.watcher = watch.New(s.plan, func(a memory.Addr) memory.Origin { return record.Whence(a).Origin })
	e.lamps()
	h.Machine.Observe(e)
	return e
}

// Start brings power up: the boot rule is done, and the machine stands before its first order. At, if not nil, is where
// that is, whatever the boot rule says.
func (s *Session) Start(at *memory.Addr) {
	m := s.half.Machine
	if s.pair != nil {
		s.pair.Boot(false)
	} else {
		m.Boot()
	}
	if at != nil {
		m.Set(s.code.Counter, memory.Word(*at))
	}
	s.eye.lamps()
	s.heedNetwork()
	s.past, s.stops = []*moment{s.moment()}, []stop{s.here()}
}

// longestLine is how many bytes a line typed at the desk may have; what is longer was not meant to be typed.
const longestLine = 4000

// Do carries out one line: a word and what belongs to it. An empty line, or a remark after #, does nothing. The error is
// one sentence about the line, or a *watch.ConditionError; the session lives on.
func (s *Session) Do(line string) error {
	if len(line) > longestLine {
		return fmt.Errorf("a line of %d bytes: a line at the desk has at most %d", len(line), longestLine)
	}
	words := strings.Fields(line)
	if len(words) == 0 || strings.HasPrefix(words[0], "#") {
		return nil
	}
	w, err := find(words[0])
	if err != nil {
		return err
	}
	args := words[1:]
	switch {
	case len(args) < w.least:
		return fmt.Errorf("something is missing after %s: write it as `%s`", w.name, w.usage())
	case w.most >= 0 && len(args) > w.most:
		return fmt.Errorf("%q is one word too many: write it as `%s`", args[w.most], w.usage())
	}
	if !asksNothing(w.name) {
		s.see()
	}
	if err := w.do(s, args); err != nil {
		return err
	}
	if s.replaying {
		return nil
	}
	if s.stops = append(s.stops, s.here()); len(s.stops) > mostStops {
		s.stops = slices.Clone(s.stops[mostStops/2:])
	}
	return nil
}

// Holds tells whether a condition holds at the half that a person is at.
func (s *Session) Holds(c *watch.Condition) bool { return c.Holds(s.half) }

// Reached tells whether the run has come to a milestone of the office.
func (s *Session) Reached(milestone string) bool { return s.half.Reached(milestone) }

// Left tells whether `leave` was said.
func (s *Session) Left() bool { return s.left }

// Prompt is what stands before a line to be typed: the half, the place of the next order, and what the machine does.
func (s *Session) Prompt() string {
	return fmt.Sprintf("%s %s %s> ", list.Safe(s.half.Name), s.addr(s.half.Machine.Place()), s.state())
}

// Welcome says what stands on the desk and what to type first.
func (s *Session) Welcome() {
	s.say("%s: half %s of machine %s, %s at %s.", s.office, s.half.Name, s.code.Name, s.state(), s.addr(s.half.Machine.Place()))
	s.say("Addresses and words are %s, counts and times decimal.", s.code.Geometry.Style.Name())
	s.say("`take 5` does five orders; `help` lists the words; `leave` ends.")
}

// time writes a time of the machine; without a clock it counts orders.
func (s *Session) time(t cpu.Time) string {
	if s.code.Cycle == 0 {
		return fmt.Sprintf("tick %d", t)
	}
	return t.String()
}

// state is what the machine does, in a word.
func (s *Session) state() string {
	switch m := s.half.Machine; {
	case m.Halted() && m.Waiting():
		return "standing"
	case m.Halted():
		return "halted"
	case m.Waiting():
		return "waiting"
	}
	return "held"
}

// say prints one line. Whatever it is made of, it is made fit for a terminal.
func (s *Session) say(format string, args ...any) {
	if s.replaying {
		return
	}
	if s.quiet {
		s.spoken = true
		return
	}
	fmt.Fprintln(s.out, strings.TrimRight(list.Safe(fmt.Sprintf(format, args...)), " "))
}
