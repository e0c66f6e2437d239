package debug

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldstart/cpu"
	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// A limit bounds a run: whichever is reached first ends it.
type limit struct {
	time   cpu.Time
	orders int64
}

// usual is the limit of a run that states none.
var usual = limit{10 * cpu.Second, 20_000_000}

// defaultLimit words the usual limit.
func defaultLimit() string {
	return fmt.Sprintf("after %v of the machine's time or %d orders, whichever comes first", usual.time, usual.orders)
}

// slice is how many orders are taken before Stop is asked again: some milliseconds.
const slice = 1 << 16

// A goal is what a run waits for beside a condition.
type goal struct {
	milestone *watch.Milestone
	chases    []*watch.Chase // any of them
}

// chased tells whether a chase of the goal is seen.
func (g *goal) chased(w *watch.Watcher, now cpu.Time) bool {
	if len(g.chases) == 0 {
		return false
	}
	return slices.ContainsFunc(w.Sightings(now), func(s watch.Sighting) bool {
		return s.Verdict == watch.Good && slices.Contains(g.chases, s.Chase)
	})
}

// roll runs on until something stops it.
func (s *Session) roll(args []string) error {
	until, within := args, []string(nil)
	if i := slices.Index(args, "within"); i >= 0 {
		until, within = args[:i], args[i+1:]
		if len(within) == 0 {
			return fmt.Errorf("within what? write `within 10 s` or `within 5000 orders`")
		}
	}
	if len(until) > 0 && until[0] != "until" || len(until) == 1 {
		return fmt.Errorf("after roll belongs until and what to wait for, or within and a limit: `%s`", s.fill("roll until here = {here} within 10 s"))
	}
	l := usual
	if within != nil {
		var err error
		if l, err = s.parseLimit(within); err != nil {
			return err
		}
	}
	s.eye.until, s.eye.goal = nil, goal{}
	if len(until) > 0 {
		done, err := s.waitFor(until[1:])
		if err != nil {
			return err
		}
		if done != "" {
			s.say("%s", done)
			return nil
		}
	}
	return s.run(l)
}

// parseLimit reads what follows within: 10 s, 10s or 5000 orders.
func (s *Session) parseLimit(args []string) (limit, error) {
	text := strings.Join(args, " ")
	number := strings.TrimRight(text, " abcdefghijklmnopqrstuvwxyz")
	unit := strings.TrimSpace(text[len(number):])
	switch {
	case number == "":
		return limit{}, fmt.Errorf("%q is no limit: write `within 10 s` or `within 5000 orders`", text)
	case unit == "":
		return limit{}, fmt.Errorf("%q of what? write s, ms, us or orders after it", text)
	}
	if unit == "orders" || unit == "order" {
		n, err := count(number)
		return limit{cpu.Never, n}, err
	}
	t, err := cpu.ParseTime(number, unit)
	switch {
	case err != nil:
		return limit{}, fmt.Errorf("%w, or a number of orders: `within 5000 orders`", err)
	case t == 0:
		return limit{}, fmt.Errorf("%q is no limit: a machine that is to run needs longer, as in `within 10 s`", text)
	case s.code.Cycle == 0:
		return limit{}, fmt.Errorf("the machine file states no clock, so there is no time to wait for: write `within 5000 orders`")
	}
	return limit{t, cpu.Forever}, nil
}

// waitFor readies what a run waits for; where that has come already, done says so.
func (s *Session) waitFor(args []string) (done string, err error) {
	e := s.eye
	if len(args) == 1 {
		if e.goal, err = s.findGoal(args[0]); err != nil {
			return "", err
		}
		for _, r := range e.watcher.Reached() {
			if r.Milestone == e.goal.milestone {
				return fmt.Sprintf("%s was reached at %s already: %s", r.Name, s.time(r.At), r.Sentence), nil
			}
		}
		if e.goal.chased(e.watcher, s.half.Machine.Now()) {
			return "the chase was seen already", nil
		}
		return "", nil
	}
	e.until, err = watch.ParseCondition(s.code, strings.Join(args, " "))
	return "", err
}

// findGoal is the milestone or chase of a name. The word chase alone means any chase.
func (s *Session) findGoal(name string) (goal, error) {
	for _, m := range s.plan.Milestones {
		if m.Name == name {
			return goal{milestone: m}, nil
		}
	}
	for _, c := range s.plan.Chases {
		if c.Name == name {
			return goal{chases: []*watch.Chase{c}}, nil
		}
	}
	if name == "chase" && len(s.plan.Chases) > 0 {
		return goal{chases: s.plan.Chases}, nil
	}
	known := s.goals()
	if len(known) == 0 {
		return goal{}, fmt.Errorf("no list of milestones and chases belongs to this machine, so %q means nothing; wait for a condition: `%s`",
			name, s.fill("roll until here = {here}"))
	}
	return goal{}, fmt.Errorf("%s; a condition compares something: `%s`", list.Unknown("milestone or chase", name, known), s.fill("roll until here = {here}"))
}

// goals are the names that a run can wait for.
func (s *Session) goals() []string {
	var names []string
	for _, m := range s.plan.Milestones {
		names = append(names, m.Name)
	}
	for _, c := range s.plan.Chases {
		names = append(names, c.Name)
	}
	if len(s.plan.Chases) > 0 {
		names = append(names, "chase")
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// run takes orders up to a limit, and says why it stopped.
func (s *Session) run(l limit) error {
	m := s.half.Machine
	if s.stands() {
		return s.errStands()
	}
	before, began := m.Orders(), m.Now()
	why := s.advance(l)
	if s.live {
		s.showLive()
	}
	s.say("Stopped: %s.", why)
	done := counted(m.Orders()-before, "order")
	if s.code.Cycle == 0 {
		s.say("%s, %d since power-up; next:", done, m.Orders())
	} else {
		s.say("%s in %v, %v since power-up; next:", done, m.Now()-began, m.Now())
	}
	s.showNext()
	return nil
}

// advance takes orders up to a limit, and gives the reason why it stopped.
func (s *Session) advance(l limit) string {
	m := s.half.Machine
	s.forgetWhy()
	stood, until := m.Halted(), cpu.Never
	if l.time < cpu.Never-s.now() {
		until = s.now() + l.time
	}
	for left := l.orders; ; {
		next := until
		if s.live {
			s.showLive()
			next = min(until, s.now()+frame)
		}
		taken := s.quick(left, until)
		if taken == 0 {
			taken = s.step(min(slice, left), next)
		}
		left -= taken
		s.keepOnTheWay()
		switch why := s.why(); {
		case why != "":
			return why
		case m.Resumes() && s.presses > 0:
			s.presses--
			s.press()
		case stood && m.Halted() && taken == 0 && left > 0 && s.now() < until:
			return "nothing runs in either half"
		case stood && m.Halted() && left > 0 && s.now() < until && !s.stop():
			// the other half of the pair goes on
		case stood && m.Halted():
			return "this half stands still; the other went on for " + counted(l.orders-left, "order")
		case m.Halted() && m.Waiting():
			return "the order at " + s.addr(m.Place()) + " waits for what nothing will bring"
		case m.Halted():
			return s.haltText()
		case left <= 0:
			return "limit of " + counted(l.orders, "order") + s.inLoop()
		case s.now() >= until:
			return "limit of " + l.time.String() + s.inLoop()
		case s.stop():
			return "by you"
		}
	}
}

// inLoop names the loop that the machine is in, if it is in one.
func (s *Session) inLoop() string {
	loop, ok := s.lately()
	if !ok || len(loop.Places) == 0 {
		return ""
	}
	first, last := slices.Min(loop.Places), slices.Max(loop.Places)
	if first == last {
		return "; it stays in the order at " + s.addr(first)
	}
	return fmt.Sprintf("; it turns in %d orders from %s to %s", len(loop.Places), s.addr(first), s.addr(last))
}

// haltText says what halted the machine.
func (s *Session) haltText() string {
	if last := s.eye.record.Last(1); len(last) == 1 {
		return "halted by the order at " + s.addr(last[0].Place)
	}
	return "halted"
}

// counted writes a count and what is counted.
func counted(n int64, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.FormatInt(n, 10) + " " + what
}

// count reads a count, which is decimal whatever the machine's numbers are.
func count(text string) (int64, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 1 || text[0] == '+' {
		return 0, fmt.Errorf("%q is no count: write a whole number from 1 up, in decimal", text)
	}
	return n, nil
}
