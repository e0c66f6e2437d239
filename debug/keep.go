package debug

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"coldstart/cpu/jam"
	"coldstart/loader/list"
	"coldstart/memory"
)

// mostKept is how many moments a person can keep under names.
const mostKept = 100

// keep keeps this moment under a name, or in a file.
func (s *Session) keep(args []string) error {
	switch {
	case len(args) == 1:
		if len(s.kept) == mostKept && s.kept[args[0]] == nil {
			return fmt.Errorf("there are %d moments kept, the most there can be: use one of their names again", mostKept)
		}
		if s.kept == nil {
			s.kept = map[string]*moment{}
		}
		s.kept[args[0]] = s.moment()
		s.say("kept as %s: after %s, at %s", args[0], counted(s.half.Machine.Orders(), "order"), s.addr(s.half.Machine.Place()))
		return nil
	case len(args) != 3 || args[1] != "in":
		return fmt.Errorf("after the name belongs in and a file: `keep %s in FILE`", args[0])
	}
	text, err := s.written(args[0])
	if err != nil {
		return err
	}
	if err := s.save(args[2], text); err != nil {
		return err
	}
	s.say("kept as %s in %s", args[0], args[2])
	return nil
}

// recallKept comes back to a moment kept.
func (s *Session) recallKept(args []string) error {
	if args[0] == "from" {
		if len(args) == 1 {
			return fmt.Errorf("from which file? write `recall from FILE`")
		}
		return s.recallFrom(args[1])
	}
	if len(args) > 1 {
		return fmt.Errorf("%q is one word too many: write it as `recall %s`", args[1], args[0])
	}
	m := s.kept[args[0]]
	if m == nil {
		names := slices.Sorted(maps.Keys(s.kept))
		if len(names) == 0 {
			return fmt.Errorf("nothing is kept: `keep NAME` keeps this moment")
		}
		return fmt.Errorf("%s", list.Unknown("name of a moment kept", args[0], names))
	}
	if err := s.restore(m); err != nil {
		return err
	}
	s.arrived()
	return nil
}

// The records of a file that holds a moment.
var stateForms = []list.Form{
	{Shape: "moment NAME", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "basis DIGEST", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: `act ORDERS PASSED HALF "LINE"`, Min: 4, Max: 4},
	{Shape: "orders TOTAL PASSED", Min: 2, Max: 2, Once: true, Needed: true},
	{Shape: "state DIGEST", Min: 1, Max: 1, Once: true, Needed: true},
}

// written is this moment as a file holds it: what it rests on, what was done by hand and when, and what it came to. The machine
// does the same again, so that no more is needed.
func (s *Session) written(name string) ([]byte, error) {
	if s.forgot {
		return nil, fmt.Errorf("more than %d things were altered by hand, so that a file could not tell them all: begin the desk anew for what is to be kept", mostActs)
	}
	record := func(words ...string) list.Record {
		var r list.Record
		for _, w := range words {
			r.Words = append(r.Words, list.Word{Text: w})
		}
		return r
	}
	count := func(n int64) string { return strconv.FormatInt(n, 10) }
	here := s.here()
	all := []list.Record{record("moment", name), record("basis", s.basis)}
	for _, a := range s.acts {
		all = append(all, record("act", count(a.at), count(a.passed), a.half, a.line))
	}
	all = append(all, record("orders", count(here.at), count(here.passed)), record("state", s.digest()))
	return list.Append([]byte("# A moment at the desk: `recall from` and this file play it again.\n"), all...)
}

// recallFrom plays again what a file holds, and compares what comes of it.
func (s *Session) recallFrom(name string) error {
	src, err := s.open(name)
	if err != nil {
		return err
	}
	records, err := list.Read(name, src)
	if err != nil {
		return err
	}
	var errs list.Errors
	var acts []act
	var total point
	var basis, state string
	for _, r := range list.Check(&errs, name, records, stateForms) {
		args := r.Args()
		switch r.Name() {
		case "basis":
			basis = args[0].Text
		case "state":
			state = args[0].Text
		case "orders":
			total = pointOf(&errs, args)
		case "act":
			acts = append(acts, act{pointOf(&errs, args), args[2].Text, args[3].Text})
			if h := args[2].Text; h != s.half.Name && (s.other == nil || h != s.other.half.Name) {
				errs.Add(args[2].Pos, "there is no half %s here", h)
			}
		}
	}
	if err := errs.Err(); err != nil {
		return err
	}
	if basis != s.basis {
		return fmt.Errorf("%s was kept of another machine file, other tapes, other jams or another start: begin the desk as it was begun then", name)
	}
	now := s.moment()
	if err := s.replayTo(total, s.past[0], acts); err != nil {
		return first(s.restore(now), fmt.Errorf("%s cannot be played again: %w", name, err))
	}
	if s.here().point != total || s.digest() != state {
		if err := s.restore(now); err != nil {
			return err
		}
		return fmt.Errorf("%s comes to another state than it says: it was altered, or kept by another issue of this program; nothing was changed here", name)
	}
	s.arrived()
	return nil
}

// pointOf reads a point.
func pointOf(errs *list.Errors, args []list.Word) point {
	return point{orderCount(errs, args[0]), orderCount(errs, args[1])}
}

// orderCount reads a number of orders.
func orderCount(errs *list.Errors, w list.Word) int64 {
	n, err := strconv.ParseInt(w.Text, 10, 64)
	if err != nil || n < 0 {
		errs.Add(w.Pos, "%q is no number of orders, or of what has happened", w.Text)
	}
	return n
}

// digest is what tells this state from any other: time, orders, registers and every word of store with its parity, of each half.
func (s *Session) digest() string {
	h := sha256.New()
	put := func(n uint64) { h.Write(binary.BigEndian.AppendUint64(nil, n)) }
	s.each(func(_ int, e *eye, _ *[]jam.Jam, _ *map[memory.Addr]int64) {
		m := e.half.Machine
		put(uint64(m.Now()))
		put(uint64(m.Orders()))
		for _, r := range s.code.Registers {
			put(uint64(m.Value(r)))
		}
		for _, a := range s.code.Geometry.Areas {
			for at := a.First; at <= a.Last; at += memory.Addr(s.code.Geometry.Step()) {
				stored, seen, st := e.half.Store.Peek(at)
				put(uint64(stored))
				put(uint64(seen))
				put(uint64(st))
			}
		}
		fmt.Fprint(h, e.half.Lamps())
	})
	return hex.EncodeToString(h.Sum(nil))
}
