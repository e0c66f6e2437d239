package trail

import (
	"cmp"
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// A Loop is a small set of places that a machine has not left for a long time.
type Loop struct {
	Places []memory.Addr // the lowest first
	Orders int64         // done since the last order outside
	Since  cpu.Time      // when that one began; 0 where there was none
	Asks   []Entry       // the last of its orders that ask something of a channel, one of each question
}

// largest is how many places a Loop may have.
const largest = 256

// visit is when a place was last run.
type visit struct {
	place  memory.Addr
	number int64
	at     cpu.Time
}

// Loop finds the loop the machine is in now: of all places run, those run last, cut where the longest time passed before
// the next of them. It is false where even that loop is not some rounds old.
func (r *Record) Loop() (Loop, bool) {
	visits := append(r.visits(), visit{}) // power-up comes before all: a machine may never have been elsewhere
	n, gap := 0, int64(0)
	for i := 1; i < min(len(visits), largest+1); i++ {
		if g := visits[i-1].number - visits[i].number; g > gap {
			n, gap = i, g
		}
	}
	if n == 0 || gap < 3*int64(n) {
		return Loop{}, false
	}
	l := Loop{Orders: visits[0].number - visits[n].number, Since: visits[n].at}
	for _, v := range visits[:n] {
		l.Places = append(l.Places, v.place)
	}
	slices.Sort(l.Places)
	l.Asks = asks(r.Last(int(min(kept, l.Orders))))
	return l, true
}

// visits lists the places run, the last one first.
func (r *Record) visits() []visit {
	var all []visit
	for no, p := range r.pages {
		for i := range p {
			if s := &p[i]; s.lastRun > 0 {
				all = append(all, visit{no<<8 | memory.Addr(i), s.lastRun, s.lastAt})
			}
		}
	}
	slices.SortFunc(all, func(a, b visit) int { return cmp.Or(cmp.Compare(b.number, a.number), cmp.Compare(a.place, b.place)) })
	return all
}

// asks picks the orders that ask something of a channel, the last of each question.
func asks(es []Entry) []Entry {
	var out []Entry
	for i := len(es) - 1; i >= 0; i-- {
		e := es[i]
		if e.Asked && !slices.ContainsFunc(out, func(a Entry) bool { return a.Exchange.Action == e.Exchange.Action }) {
			out = append(out, e)
		}
	}
	return out
}

// Turn gives the orders of the shortest run that the last orders repeat at least three times; nil where they do not.
func (r *Record) Turn() []Entry {
	last := r.Last(kept)
	n := len(last)
	for p := 1; 3*p <= n; p++ {
		if repeats(last, p) {
			return last[n-p:]
		}
	}
	return nil
}

// repeats tells whether the last 3p orders are three times the same p places.
func repeats(es []Entry, p int) bool {
	for i := len(es) - 1; i >= len(es)-2*p; i-- {
		if es[i].Place != es[i-p].Place {
			return false
		}
	}
	return true
}
