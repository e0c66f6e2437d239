package plant

import (
	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/memory"
)

// A Kind is a kind of port.
type Kind uint8

// The kinds, and what each is for.
const (
	Pulser    Kind = iota // sets and releases crosspoints
	Scanner               // shows scan points, a row at a time
	Receivers             // gives digits
	Tones                 // puts ringing and tones on terminals
	Trunks                // seizes and releases trunks, and passes digits on
)

// Kinds are the names of the kinds in a list, in the order of the constants.
var Kinds = []string{"pulser", "scanner", "receivers", "tones", "trunks"}

// A Port is what a processor reaches of a plant at one channel. Each half has ports of its own.
type Port struct {
	plant  *Plant
	kind   Kind
	half   int
	chosen int // row of the scanner, or receiver, that was sent last
}

// NewPort is a port onto a plant for a half, 0 or 1.
func NewPort(p *Plant, k Kind, half int) *Port { return &Port{plant: p, kind: k, half: half} }

// Do carries out one action: what the words mean stands at Form. A command has no effect.
func (d *Port) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	p := d.plant
	p.advance(now)
	switch a.Verb {
	case cpu.Send:
		if d.send(int(a.Word)) {
			p.look()
		}
		p.plan()
	case cpu.Receive:
		return cpu.Reply{Word: d.receive()}
	case cpu.Sign:
		if a.Sign == 0 && d.ready() {
			return cpu.Reply{Word: 1}
		}
	}
	return cpu.Reply{}
}

// send takes a word; it tells whether there is something new to see or hear.
func (d *Port) send(word int) bool {
	p := d.plant
	switch d.kind {
	case Pulser:
		p.net.ask(d.half, word&(1<<18-1), p.now)
		if p.heed != nil {
			p.heed(p.net.pulses[len(p.net.pulses)-1])
		}
	case Scanner, Receivers:
		d.chosen = word
	case Tones:
		p.sound(word&(1<<13-1), Tone(word>>13&0o37))
	case Trunks:
		p.order(word)
	}
	return d.kind == Tones || d.kind == Trunks
}

// receive gives a word.
func (d *Port) receive() memory.Word {
	p := d.plant
	switch {
	case d.kind == Scanner && d.chosen >= 0 && d.chosen < len(p.hooks):
		return memory.Word(p.hooks[d.chosen])
	case d.kind == Receivers && d.chosen >= 0 && d.chosen < len(p.receivers):
		return p.receivers[d.chosen].take()
	}
	return 0
}

// ready is sign 0 of the port.
func (d *Port) ready() bool {
	switch p := d.plant; d.kind {
	case Pulser:
		return p.net.busy == 0
	case Receivers:
		for i := range p.receivers {
			if p.receivers[i].digit != 0 {
				return true
			}
		}
		return false
	}
	return true
}

// Next is when something in the plant next happens by itself.
func (d *Port) Next(now cpu.Time) cpu.Time {
	d.plant.advance(now)
	return d.plant.next
}

// Clone is a port in the same state, onto a plant of its own.
func (d *Port) Clone() channel.Device {
	c := *d
	c.plant = d.plant.Clone()
	return &c
}

// Behind is the plant: ports onto the same one give the same.
func (d *Port) Behind() any { return d.plant }

// Onto is the port in the same state, onto what another port reaches.
func (d *Port) Onto(other channel.Port) channel.Port {
	c := *d
	c.plant = other.(*Port).plant
	return &c
}

// Plant is what the port reaches.
func (d *Port) Plant() *Plant { return d.plant }

// Kind is the kind of the port.
func (d *Port) Kind() Kind { return d.kind }

// Chosen is the row or the receiver that was sent last.
func (d *Port) Chosen() int { return d.chosen }
