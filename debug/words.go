package debug

import (
	"fmt"
	"strings"

	"coldstart/cpu/channel"
	"coldstart/loader/list"
)

// A word is something a person can say at the desk.
type word struct {
	name        string
	part        string   // of the help that it is listed in
	follows     string   // what is typed after it
	least, most int      // how many words that may be; -1: any number
	purpose     string   // in a line
	more        []string // lines of help beyond that
	example     string   // true on any machine once filled in, see fill
	do          func(s *Session, args []string) error
}

// usage is how the word is written.
func (w *word) usage() string { return strings.TrimSpace(w.name + " " + w.follows) }

// The parts of the help.
const (
	running  = "Run it"
	looking  = "Look at it"
	altering = "Alter it"
	asking   = "Ask about it"
	ending   = "The desk"
)

var parts = []string{running, looking, altering, asking, ending}

// words is every word of the desk, in the order that help lists them. It is made once, when the package is loaded, and
// not a literal because help itself reads it.
var words []*word

func init() {
	words = []*word{
		{"take", running, "[N]", 0, 1, "do one order, or N orders, and show what each did",
			[]string{"Of more than 20 orders only the last 5 are shown.", "It stops early at a hold, a trap or a halt."}, "take 5", (*Session).take},
		{"roll", running, "[until CONDITION|chase|MILESTONE] [within N s|ms|us|orders]", 0, -1, "run on until something stops it",
			[]string{
				"It stops at a hold, a trap or a halt, and where `within` says nothing else",
				defaultLimit() + ".",
				"A condition compares registers, flip-flops, `here` (the place of the next",
				"order), `store ADDRESS`, `lamp NAME` and numbers with = /= < <= > >=, joined",
				"by `and` and `or`.",
			}, "roll until {register} /= {register-value} within 1000 orders", (*Session).roll},
		{"back", running, "[N]|until CONDITION|until store ADDRESS changes", 0, -1, "go back one order, or N orders, or to where something was so",
			[]string{
				"Everything is as it was then: registers, store, devices, time, and the jams.",
				"What you altered since is undone; going on, the machine does it no more.",
				"Until a condition: to the last moment before now at which it held. Until a",
				"word changes: to just before the order that wrote it last.",
			}, "back 3", (*Session).back},
		{"resume", running, "", 0, 0, "press the resume key of a halted machine",
			[]string{"It goes on where its order counter stands, at the next `take` or `roll`.", "Nothing comes of it where a trap stopped the machine, or it halted for good."}, "resume", (*Session).resume},
		{"through", running, "", 0, 0, "do the next order and all that it goes away to, as one",
			[]string{"It stops behind the order, where a routine that was linked comes back to."}, "through", (*Session).through},
		{"hold", running, "at ADDRESS|on read|write ADDRESS[-ADDRESS]|when CONDITION", 2, -1, "stop before the order at an address, or when something happens",
			[]string{
				"At a place it stops before the order there; else after the order that read or",
				"wrote there, or by which the condition has come to hold.",
			}, "hold at {here}", (*Session).hold},
		{"holds", running, "", 0, 0, "list the holds", nil, "holds", (*Session).listHolds},
		{"lift", running, "N|all", 1, 1, "take a hold away", []string{"`holds` shows their numbers."}, "lift all", (*Session).lift},
		{"changeover", running, "", 0, 0, "press the changeover key of a pair",
			[]string{"It acts as soon as the pair runs on: the half on-line leaves the line, and", "when the gap is over the other one comes."}, "changeover", (*Session).changeover},
		{"mate", running, "", 0, 0, "go to the other half of a pair; all words are then about that one", nil, "mate", (*Session).mate},
		{"look", looking, "ADDRESS[-ADDRESS]|REGISTER [as orders|characters]", 1, 6, "show words of store, as seen and as stored, or a register",
			[]string{
				"As characters it takes one from the lowest bits of each word, or several:",
				"`as characters of 8 bits` cuts a word into pieces from its left end.",
			},
			"look {store}-{store-end}", (*Session).look},
		{"panel", looking, "", 0, 0, "show registers, flip-flops, time, and the last trap", nil, "panel", (*Session).panel},
		{"lamps", looking, "[live|still]", 0, 1, "show the lamps: @ is lit, a point is dark",
			[]string{"Live they are drawn while the machine runs, no faster than they would move;", "`lamps still` ends that."}, "lamps", (*Session).lamps},
		{"recite", looking, "[ADDRESS [N]]", 0, 2, "list store as orders, from here or from an address",
			[]string{"Without N it lists 8; > stands before the next order to be done."}, "recite {here} 4", (*Session).recite},
		{"pair", looking, "", 0, 0, "show both halves of a pair side by side, and what the line came to", nil, "pair", (*Session).showPair},
		{"chan", looking, "[CHANNEL [say TEXT]]", 0, -1, "show what stands at the channels, or type a line at one",
			[]string{"A line typed is followed by a carriage return."}, "chan", (*Session).channels},
		{"network", looking, "[TERMINAL]", 0, 1, "show the network as it was asked for: nothing is read back", nil, "network", (*Session).network},
		{"key", altering, "ADDRESS|REGISTER WORD", 2, 2, "alter a word of the simulated store, or a register",
			[]string{"It is noted in the trail.", "Altering the counter lets a halted machine run from there."}, "key {store} {word}", (*Session).key},
		{"seat", altering, "CHANNEL FILE", 2, 3, "put another recording into a tape drive, its first block ahead", nil, "seat {drive} other.tape", (*Session).seat},
		{"unseat", altering, "CHANNEL", 1, 1, "take the tape out of a drive", nil, "unseat {drive}", (*Session).unseat},
		{"keep", altering, "NAME [in FILE]", 1, 3, "keep this moment under a name, or in a file for another session",
			[]string{"A file holds what was done and what the machine came to; it is played again."}, "keep before", (*Session).keep},
		{"recall", altering, "NAME|from FILE", 1, 2, "come back to a moment kept",
			[]string{"That of a file is refused where machine file, tapes or jams are others."}, "recall before", (*Session).recallKept},
		{"jam", altering, "PLACE and what is wrong there", 2, -1, "make a place fail from now on", shapes(), "jam {jam}", (*Session).jam},
		{"jams", altering, "", 0, 0, "list the jams, and what each has done so far", nil, "jams", (*Session).listJams},
		{"unjam", altering, "N|PLACE", 1, -1, "make a jammed place good again", []string{"`jams` shows their numbers."}, "unjam 1", (*Session).unjam},
		{"trail", asking, "[N]|json FILE [N]|vcd FILE [N] [SIGNAL...]", 0, -1, "list the last orders done, or write them into a file",
			[]string{
				"Without N it lists 20, of 512 that are remembered, and what was altered",
				"between them. A file holds 1000 without N: json has an object a line, vcd the",
				"signals that waveform viewers open: registers, addresses of store, on-line;",
				"without any, all registers and lamp rows. `wires` parts them bit by bit.",
			}, "trail 5", (*Session).trail},
		{"whence", asking, "ADDRESS [N]", 1, 2, "tell who wrote a word last and before that, and where it came from",
			[]string{"With N it goes back through the last N who wrote it."}, "whence {here}", (*Session).whence},
		{"why", asking, "[last|dark LAMP|lit LAMP]", 0, 2, "explain the next order, the last one, or a lamp",
			[]string{
				"It shows the line of the handbook, what the order reads and what it does with",
				"it, and leaves everything as it is. A lamp is a bit of the first row, or",
				"ROW.BIT: from the lamp it goes back to the word, and to who wrote that.",
			}, "why", (*Session).tellWhy},
		{"peg", asking, "ADDRESS|off [ADDRESS]", 1, 2, "count how often the machine comes to an address", nil, "peg {here}", (*Session).pegAt},
		{"pegs", asking, "", 0, 0, "list the counts", nil, "pegs", (*Session).listPegs},
		{"note", asking, "[TEXT]", 0, -1, "write a note into the trail, or list the notes", nil, "note lamp 6 flickered here", (*Session).note},
		{"follow", ending, "FILE", 1, 1, "carry out the words in a file, up to the first that is wrong", nil, "follow evening.desk", (*Session).follow},
		{"help", ending, "[WORD]", 0, 1, "list the words, or explain one", nil, "help roll", (*Session).help},
		{"leave", ending, "", 0, 0, "end the session", []string{"The machine is gone with it, but for what `keep` has put in a file."}, "leave", (*Session).leave},
	}
}

// find is the word typed, or the only one that begins so.
func find(typed string) (*word, error) {
	var begin []*word
	var names, fits []string
	for _, w := range words {
		if w.name == typed {
			return w, nil
		}
		if strings.HasPrefix(w.name, typed) {
			begin, fits = append(begin, w), append(fits, w.name)
		}
		names = append(names, w.name)
	}
	if len(begin) == 1 {
		return begin[0], nil
	}
	if len(begin) > 1 {
		return nil, fmt.Errorf("%q could be %s: type one more letter", typed, strings.Join(fits, ", "))
	}
	if near := list.Nearest(typed, names); near != "" {
		return nil, fmt.Errorf("there is no word %q at the desk; the nearest is %q, and `help` lists them", typed, near)
	}
	return nil, fmt.Errorf("there is no word %q at the desk; `help` lists them", list.Brief(typed))
}

// help says what to type first and names the words, lists them all, or explains one.
func (s *Session) help(args []string) error {
	switch {
	case len(args) == 1 && args[0] == "all":
		s.helpAll()
		return nil
	case len(args) == 1:
		w, err := find(args[0])
		if err != nil {
			return err
		}
		s.say("%s", w.usage())
		s.say("  %s", w.purpose)
		for _, line := range w.more {
			s.say("  %s", line)
		}
		s.say("  Example: %s", s.fill(w.example))
		return nil
	}
	s.say("Type first:")
	for _, line := range s.steps() {
		s.say("  %-26s%s", line[0], line[1])
	}
	s.say("The words:")
	for _, part := range parts {
		var names []string
		for _, w := range words {
			if w.part == part {
				names = append(names, w.name)
			}
		}
		s.say("  %-14s%s", part, strings.Join(names, " "))
	}
	s.say("`help WORD` shows how one is written, `help all` what each is for. A word may")
	s.say("be cut short where its beginning fits no other. Addresses and words are")
	s.say("%s, counts and times decimal.", s.code.Geometry.Style.Name())
	return nil
}

// helpAll lists every word and what it is for.
func (s *Session) helpAll() {
	for _, part := range parts {
		s.say("%s:", part)
		for _, w := range words {
			if w.part == part {
				s.say("  %-12s%s", w.name, w.purpose)
			}
		}
	}
}

// steps are the first things to type, and what each does.
func (s *Session) steps() [][2]string {
	all := [][2]string{{"take 5", "do five orders and see what each did"}, {"why", "what the next order is about to do"}}
	if len(s.plan.Chases) > 0 {
		all = append(all, [2]string{"roll until chase", "run on until lamps have moved along a row"}, [2]string{"lamps", "look at them"})
	} else {
		all = append(all, [2]string{"roll within 1000 orders", "run on"}, [2]string{"panel", "look at registers and flip-flops"})
	}
	return append(all,
		[2]string{"back", "go back one order; `back 5` goes back five"},
		[2]string{s.fill("whence {here}"), "where a word came from, and who wrote it last"},
		[2]string{"leave", "end the session"})
}

// leave ends the session.
func (s *Session) leave([]string) error {
	s.left = true
	return nil
}

// anyDrive is the channel of a tape drive, or of anything.
func (s *Session) anyDrive() string {
	name := "TC1"
	for _, ch := range s.code.Channels {
		if _, ok := s.half.Rack.Device(ch.Code).(*channel.Drive); ok {
			return ch.Name
		}
		name = ch.Name
	}
	return name
}

// fill puts addresses, words and names of this machine into an example.
func (s *Session) fill(example string) string {
	g := &s.code.Geometry
	at, end := s.writable()
	width := g.Width
	bit := g.Style.Bit(0, width)
	if a := g.Area(at); a != nil {
		width, bit = a.Width, g.Style.Bit(0, a.Width)
	}
	r := s.code.Counter
	for _, other := range s.code.Registers {
		if !other.FlipFlop && other != s.code.Counter {
			r = other
			break
		}
	}
	return strings.NewReplacer(
		"{here}", s.addr(s.half.Machine.Place()),
		"{store}", s.addr(at), "{store-end}", s.addr(end),
		"{word}", g.Style.Word(0, width),
		"{register-value}", g.Style.Word(s.half.Machine.Value(r), r.Width),
		"{register}", r.Name,
		"{drive}", s.anyDrive(),
		"{jam}", fmt.Sprintf("store %s bit %s = 1", s.addr(at), bit),
	).Replace(example)
}
