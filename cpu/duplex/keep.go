package duplex

import (
	"slices"
)

// A PairState is the whole state of a Pair at one moment.
type PairState struct {
	halves [2]State
	pair   Pair // all that is no pointer is a copy
}

// Keep copies the state of both halves and of what is between them.
func (p *Pair) Keep() PairState {
	s := PairState{pair: *p}
	s.pair.due, s.pair.events = slices.Clone(p.due), slices.Clone(p.events)
	for n, h := range p.halves {
		s.halves[n] = h.Keep()
	}
	return s
}

// Recall brings the pair back to a state kept of it; what is run from there is the same again.
func (p *Pair) Recall(s PairState) error {
	for n, h := range p.halves {
		if err := h.Recall(s.halves[n]); err != nil {
			return err
		}
	}
	for _, code := range s.pair.common {
		p.halves[1].Rack.Share(p.halves[0].Rack, code)
	}
	heed, entered := p.heed, p.entered
	*p = s.pair
	p.heed, p.entered = heed, entered // they belong to the run, not to the state
	p.due, p.events = slices.Clone(s.pair.due), slices.Clone(s.pair.events)
	return nil
}
