package debug

import (
	"fmt"
	"strings"

	"coldstart/cpu/channel"
	"coldstart/cpu/channel/plant"
	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// channels shows what stands at the channels, or types at one.
func (s *Session) channels(args []string) error {
	if len(args) == 0 {
		for _, ch := range s.code.Channels {
			s.say("%-5s %s", ch.Name, s.device(ch))
		}
		return nil
	}
	ch := s.code.Channel(args[0])
	if ch == nil {
		var names []string
		for _, c := range s.code.Channels {
			names = append(names, c.Name)
		}
		return fmt.Errorf("%s", list.Unknown("channel", args[0], names))
	}
	switch {
	case len(args) == 1:
		s.say("%-5s %s", ch.Name, s.device(ch))
		return nil
	case args[1] != "say" || len(args) == 2:
		return fmt.Errorf("after a channel belongs say and what to type there: `chan %s say TEXT`", ch.Name)
	}
	if err := s.typeAt(ch, strings.Join(args[2:], " ")); err != nil {
		return err
	}
	s.did(append([]string{"chan"}, args...)...)
	s.noted("typed at %s: %s", ch.Name, strings.Join(args[2:], " "))
	return nil
}

// typeAt types a line at a teletypewriter, from now on.
func (s *Session) typeAt(ch *order.Channel, text string) error {
	tty, ok := s.half.Rack.Device(ch.Code).(*channel.Teletypewriter)
	if !ok {
		return fmt.Errorf("nobody can type at %s: no teletypewriter stands there", ch.Name)
	}
	return tty.Type(text, s.now())
}

// device says what stands at a channel and how it is.
func (s *Session) device(ch *order.Channel) string {
	now := s.now()
	switch d := s.half.Rack.Device(ch.Code).(type) {
	case *channel.Drive:
		p := d.Position(now)
		if !p.Seated {
			return "tape drive, no tape"
		}
		return fmt.Sprintf("tape drive: at position %d, %d words of it passed; moving: %v; words lost: %d", p.Block, p.Word, p.Moving, p.Lost)
	case *channel.Teletypewriter:
		return fmt.Sprintf("teletypewriter: %s printed; characters lost: %d sent, %d typed", counted(int64(d.Len()), "line"), d.Lost(), d.Overrun(now))
	case *channel.Clock:
		return "clock"
	case *plant.Port:
		return s.port(d)
	case nil:
		if d := s.code.Duplex; d != nil && d.Mate == ch {
			return "maintenance channel to the other half"
		}
		return "nothing stands there"
	}
	return "the other half is not there"
}

// port says how a port onto the exchange is.
func (s *Session) port(d *plant.Port) string {
	x, now := d.Plant(), s.now()
	switch d.Kind() {
	case plant.Pulser:
		return fmt.Sprintf("pulser: %s asked for", counted(int64(len(x.Pulses())), "pulse"))
	case plant.Scanner:
		return fmt.Sprintf("scanner: row %d chosen", d.Chosen())
	case plant.Receivers:
		return fmt.Sprintf("digit receivers: %d chosen", d.Chosen())
	case plant.Tones:
		return fmt.Sprintf("ringing and tones: %d on", x.Sounding(now))
	}
	return fmt.Sprintf("trunks: %d seized", x.Seized())
}

// network shows the network as it was asked for, or what is known of one terminal.
func (s *Session) network(args []string) error {
	x := plant.Of(s.half.Rack)
	if x == nil {
		s.say("No network stands around this machine.")
		return nil
	}
	now := s.now()
	if len(args) == 1 {
		return s.terminal(x, args[0])
	}
	var all [3]int
	for _, c := range x.Reeds(now) {
		for i, n := range c.Reeds {
			all[i] += n
		}
	}
	s.say("As it was asked for, since nothing can be read back: %d set, %d released, %d unknown until first commanded.",
		all[plant.Set], all[plant.Released], all[plant.Unknown])
	for _, p := range x.Paths(now) {
		s.say("  %s to %s by link %d, since %s", s.terminalName(x, p.From), s.terminalName(x, p.To), p.Link, s.time(p.Since))
	}
	lived, network := x.Counts(now)
	s.say("Calls offered %d, set up %d, answered %d, released %d, as the network shows them; people lived %d, %d, %d, %d.",
		network.Offered, network.SetUp, network.Answered, network.Released, lived.Offered, lived.SetUp, lived.Answered, lived.Released)
	return nil
}

// terminal shows what is known of the crosspoints of one terminal.
func (s *Session) terminal(x *plant.Plant, text string) error {
	spec, now := x.Spec(), s.now()
	n, err := s.code.Geometry.Style.Parse(text)
	if err != nil || n >= uint64(spec.Terminals()) {
		return fmt.Errorf("%q is no terminal: they go from 0 to %s, %s", text, s.code.Geometry.Style.Number(uint64(spec.Terminals()-1)), s.code.Geometry.Style.Name())
	}
	t := int(n)
	s.say("%s: loop closed: %v; %v on it", s.terminalName(x, t), x.Hook(t, now), x.Tone(t, now))
	if trunk := t - spec.TrunksAt; trunk >= 0 && trunk < spec.Trunks {
		if digits := x.Passed(trunk); len(digits) > 0 {
			s.say("  digits passed on since it was seized, 10 for a 0: %v", digits)
		}
	}
	for k := range plant.Links {
		reed, last, _ := x.Reed(plant.Terminal(t, k), now)
		if reed == plant.Unknown {
			continue
		}
		s.say("  link %d: %v, at %s, asked by half %c", k, reed, s.time(last.Until), 'A'+rune(last.Half))
	}
	s.say("  all other links: unknown, never commanded")
	return nil
}

// terminalName is what stands at a terminal, in the machine's own numbers.
func (s *Session) terminalName(x *plant.Plant, t int) string {
	spec := x.Spec()
	number := func(n int) string { return s.code.Geometry.Style.Word(memory.Word(n), 9) }
	switch {
	case t < spec.Lines:
		return "line " + number(t)
	case t >= spec.TrunksAt && t < spec.TrunksAt+spec.Trunks:
		return "trunk " + number(t-spec.TrunksAt)
	case t >= spec.ReceiverAt && t < spec.ReceiverAt+spec.Receivers:
		return "receiver " + number(t-spec.ReceiverAt)
	}
	return "terminal " + number(t)
}

// heedNetwork says at once when a half asks for a pulse that is not on-line. It is to be said again after the state was
// recalled, since nobody heeds a copy.
func (s *Session) heedNetwork() {
	x := plant.Of(s.half.Rack)
	if s.pair == nil || x == nil {
		return
	}
	x.Heed(func(p plant.Pulse) {
		if !s.pair.OnLine(p.Half) {
			s.say("%s  STANDBY HALF %c PULSES THE NETWORK", s.time(p.At), 'A'+rune(p.Half))
		}
	})
}
