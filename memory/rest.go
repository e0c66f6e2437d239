package memory

// Rest takes a jam that is in out of force for now, or puts one back that rests; what it remembers stays, and goes on from
// there. Whether it is in force is the bench's business and no part of a Snapshot. The error is that of Lift or of Put.
func (s *Store) Rest(j Jam, out bool) error {
	if err := s.check(j); err != nil {
		return err
	}
	j = s.settled(j)
	if !out {
		return s.Put(j) // which finds what it remembers
	}
	met, altered := s.Effect(j)
	state := newHook(j).hookState
	if h := s.hooks[j.place()]; h != nil {
		state = h.hookState
	}
	if err := s.Lift(j); err != nil {
		return err
	}
	state.met, state.altered = met, altered
	if s.resting == nil {
		s.resting = map[Jam]hookState{}
	}
	s.resting[j] = state
	return nil
}

// Forget forgets what a jam that rests remembers: it will not be put back.
func (s *Store) Forget(j Jam) { delete(s.resting, s.settled(j)) }

// wake gives what a jam remembers that rested; false for one that did not. It rests no longer.
func (s *Store) wake(j Jam) (state hookState, rested bool) {
	state, rested = s.resting[j]
	delete(s.resting, j)
	return state, rested
}

// rested lets a word that has a stuck cell again count on from what was counted before.
func (s *Store) rested(j Jam) {
	state, rested := s.wake(j)
	if w := s.jamAt(s.layout.find(j.Addr).slot(j.Addr)); rested && w.counts == (counts{}) {
		w.counts = counts{state.met, state.altered}
	}
}

// recallHooks puts back what jams remembered; those put in since, and those not met then, begin anew.
func (s *Store) recallHooks(sn *Snapshot) {
	for _, h := range s.hooks {
		h.hookState = s.was(sn, h.Jam)
	}
	for j := range s.resting {
		s.resting[j] = s.was(sn, j)
	}
	for j, state := range sn.hooks { // a stuck cell that rested then and is in force now
		if j.Fault == Stuck && j.OneIn < 2 {
			if w := s.jamAt(s.layout.find(j.Addr).slot(j.Addr)); w != nil {
				w.counts = counts{state.met, state.altered}
			}
		}
	}
}

// was is what a jam remembered when a snapshot was taken.
func (s *Store) was(sn *Snapshot, j Jam) hookState {
	if state, ok := sn.hooks[j]; ok {
		return state
	}
	state := newHook(j).hookState
	if j.Fault == Stuck && j.OneIn < 2 {
		c := sn.counts[s.layout.find(j.Addr).slot(j.Addr)]
		state.met, state.altered = c.reads, c.altered
	}
	return state
}
