package jam

import (
	"errors"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
)

// A logical is a fault of the logic of a half.
type logical struct{ cpu.Fault }

func (l logical) put(h *duplex.Half) error      { return h.Machine.Jam(l.Fault) }
func (l logical) lift(h *duplex.Half) error     { return h.Machine.Unjam(l.Fault) }
func (l logical) rest(h *duplex.Half, out bool) { h.Machine.Rest(l.Fault, out) }
func (l logical) effect(h *duplex.Half) string  { return told(h.Machine.Effect(l.Fault)) }

func (l logical) about() any {
	return logical{cpu.Fault{Part: l.Part, Number: l.Number, Bit: l.Bit}}
}

// A wired is a fault of a channel or of the tape on it.
type wired struct {
	code int
	channel.Fault
}

func (w wired) put(h *duplex.Half) error      { return h.Rack.Jam(w.code, w.Fault) }
func (w wired) lift(h *duplex.Half) error     { return h.Rack.Unjam(w.code, w.Fault) }
func (w wired) rest(h *duplex.Half, out bool) { h.Rack.Rest(w.code, w.Fault, out) }
func (w wired) effect(h *duplex.Half) string  { return told(h.Rack.Effect(w.code, w.Fault)) }

func (w wired) about() any {
	return wired{w.code, channel.Fault{Part: w.Part, Bit: w.Bit, Block: w.Block, Word: w.Word}}
}

// An unasking is a channel whose request never comes: the sign by which its device asks, whatever its number, stays down.
type unasking struct {
	ch *order.Channel
	cpu.Chance
}

// line is the same as a fault of that sign's line, which may be true-low.
func (u unasking) line(h *duplex.Half) wired {
	n := h.Rack.Request(u.ch.Code)
	return wired{u.ch.Code, channel.Fault{Part: channel.SignLine, Bit: n, Value: int(u.ch.Shown(n, 0)), Chance: u.Chance}}
}

func (u unasking) put(h *duplex.Half) error {
	if h.Rack.Device(u.ch.Code) == nil {
		return errors.New("no device stands at this channel, so nothing asks there anyway")
	}
	return u.line(h).put(h)
}

func (u unasking) lift(h *duplex.Half) error     { return u.line(h).lift(h) }
func (u unasking) rest(h *duplex.Half, out bool) { u.line(h).rest(h, out) }
func (u unasking) effect(h *duplex.Half) string  { return u.line(h).effect(h) }
func (u unasking) about() any                    { return unasking{ch: u.ch} }
