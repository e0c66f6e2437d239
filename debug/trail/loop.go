package trail

import (
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// A Loop is a run of orders that a machine goes round and round in.
type Loop struct {
	Places    []memory.Addr  // in the order they are done, the lowest first
	Turns     int64          // whole turns since an order outside it was last done
	Since     int64          // the number of the first order in it
	Exchanges []cpu.Exchange // what one turn asks of channels, one of each kind
	Writes    bool           // something in it writes into store
}

// Loop finds the loop the machine is turning in now: the shortest run of orders that the last ones repeat at least three
// times; false where they do not.
func (r *Record) Loop() (Loop, bool) {
	last := r.Last(kept)
	n := len(last)
	for p := 1; 3*p <= n; p++ {
		if !repeats(last, p) {
			continue
		}
		turn := last[n-p:]
		l := Loop{}
		for _, e := range turn {
			l.Places = append(l.Places, e.Place)
			l.Writes = l.Writes || e.Wrote
			if e.Asked && !slices.ContainsFunc(l.Exchanges, func(x cpu.Exchange) bool { return x.Action == e.Exchange.Action }) {
				l.Exchanges = append(l.Exchanges, e.Exchange)
			}
		}
		lowest := slices.Index(l.Places, slices.Min(l.Places))
		l.Places = append(l.Places[lowest:], l.Places[:lowest]...)
		l.Since = r.lastOutside(l.Places) + 1
		l.Turns = (last[n-1].Number - l.Since + 1) / int64(p)
		return l, true
	}
	return Loop{}, false
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

// lastOutside is the number of the last order done outside some places.
func (r *Record) lastOutside(places []memory.Addr) int64 {
	inside := map[memory.Addr]bool{}
	for _, a := range places {
		inside[a] = true
	}
	latest := int64(0)
	for no, p := range r.pages {
		for i := range p {
			if n := p[i].lastRun; n > latest && !inside[no<<8|memory.Addr(i)] {
				latest = n
			}
		}
	}
	return latest
}
