package jam

import (
	"fmt"

	"coldstart/cpu/duplex"
	"coldstart/memory"
)

// A stored is a fault of the store.
type stored struct{ memory.Jam }

func (s stored) put(h *duplex.Half) error { return h.Store.Put(s.Jam) }

func (s stored) lift(h *duplex.Half) error { return h.Store.Lift(s.Jam) }

// rest cannot fail: the jam was put in, and no other is at its place.
func (s stored) rest(h *duplex.Half, out bool) { _ = h.Store.Rest(s.Jam, out) }

func (s stored) about() any {
	s.Value, s.OneIn, s.Seed, s.After = 0, 0, 0, 0
	return s
}

// effect counts reads of the word, not of the cell: a word is read whole.
func (s stored) effect(h *duplex.Half) string {
	met, altered := h.Store.Effect(s.Jam)
	if s.Fault != memory.Stuck {
		return told(met, altered)
	}
	_, lamps := h.Panel.Row(s.Addr)
	switch {
	case met == 0 && lamps:
		return "no order read its word; what it changed is in the lamp rows"
	case met == 0:
		return "its word was never read, so it changed nothing"
	case altered == 0:
		return fmt.Sprintf("reads of its word: %d; it held that value anyway, so it changed nothing", met)
	}
	return fmt.Sprintf("reads of its word: %d, changed by it: %d", met, altered)
}
