package debug

import (
	"fmt"
	"strings"

	"coldstart/debug/watch"
)

// back goes back some orders, or to where something was so.
func (s *Session) back(args []string) error {
	if len(args) > 0 && args[0] == "until" {
		return s.backUntil(args[1:])
	}
	n := int64(1)
	if len(args) > 0 {
		var err error
		if n, err = count(args[0]); err != nil {
			return err
		}
		if len(args) > 1 {
			return fmt.Errorf("%q is one word too many: write it as `back %d`", args[1], n)
		}
	}
	return s.backTo(s.half.Machine.Orders() - n)
}

// backTo goes back to where the half had done so many orders.
func (s *Session) backTo(orders int64) error {
	if orders < 0 {
		return fmt.Errorf("there are only %s to go back: no more were done since power-up", counted(s.half.Machine.Orders(), "order"))
	}
	if err := s.find(orders); err != nil {
		return err
	}
	s.arrived()
	return nil
}

// arrived says where going back has come to.
func (s *Session) arrived() {
	s.noted("back to after %s, %s since power-up", counted(s.half.Machine.Orders(), "order"), s.time(s.now()))
	s.showNext()
}

// find goes to where the half has done so many orders. In a pair the other half may have done several in the meantime: where
// the machine stood between two words at that count, that is where; else as soon as the count was reached.
func (s *Session) find(orders int64) error {
	n, acts := 0, s.acts
	if s.pair != nil {
		n = number(s.half)
	}
	var until *stop
	for i := range s.stops {
		if s.stops[i].orders[n] == orders {
			until = &s.stops[i]
		}
	}
	var from *moment
	for _, m := range s.past {
		if until != nil && m.before(until.point) || until == nil && m.sides[n].orders <= orders {
			from = m
		}
	}
	if from == nil {
		return fmt.Errorf("nothing was kept from before that")
	}
	if until != nil {
		return s.replayTo(until.point, from, acts)
	}
	return s.replay(from, acts, func() int64 { return orders - s.half.Machine.Orders() })
}

// backUntil goes back to the last moment at which a condition held, or to before the order that wrote a word last.
func (s *Session) backUntil(args []string) error {
	if len(args) == 3 && args[0] == "store" && args[2] == "changes" {
		a, err := s.place(args[1])
		if err != nil {
			return err
		}
		s.see()
		w := s.eye.record.Whence(a)
		if w.Number == 0 {
			return fmt.Errorf("no order has written %s since power-up, so there is nothing to go back to", s.addr(a))
		}
		return s.backTo(w.Number - 1)
	}
	if len(args) == 0 {
		return fmt.Errorf("until what? write a condition, or `back until store %s changes`", s.fill("{store}"))
	}
	c, err := watch.ParseCondition(s.code, strings.Join(args, " "))
	if err != nil {
		return err
	}
	return s.search(c)
}

// search goes back to the last moment before this one at which a condition held. It goes through what was done from the end to
// the beginning, a stretch between two moments kept at a time.
func (s *Session) search(c *watch.Condition) error {
	now := s.moment()
	past := s.past
	for i, end := len(past)-1, now.at; i >= 0; i-- {
		last := int64(-1)
		err := s.replay(past[i], now.acts, func() int64 {
			pos := s.position()
			if pos >= end {
				return 0
			}
			if c.Holds(s.half) {
				last = pos
			}
			return 1
		})
		if err != nil {
			return first(s.restore(now), err)
		}
		if last >= 0 {
			if err := s.replay(past[i], now.acts, func() int64 { return last - s.position() }); err != nil {
				return err
			}
			s.arrived()
			return nil
		}
		end = past[i].at
	}
	if err := s.restore(now); err != nil {
		return err
	}
	return fmt.Errorf("%s held at no moment since power-up before this one", c)
}
