package order

import (
	"slices"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// channels takes over the channels, which share no name, no code and no address.
func (c *checker) channels() {
	for _, s := range every[*syntax.Channel](c) {
		width := c.width(s.Bits, "a channel", 64)
		code, ok := c.value(s.Code, 32, "the code of a channel")
		if !c.declare("channel", s.Name) || !ok || width < 0 {
			continue
		}
		for _, other := range c.code.Channels {
			if other.Code == int(code) {
				c.errorf(s.Code.At, "channels %s and %s have the same code", other.Name, s.Name.Text)
			}
		}
		ch := &Channel{
			Name: s.Name.Text, Code: int(code), Width: width, Signs: 8,
			PlugIn: c.plugIn(s.PlugIn), Page: s.Reference(), Doubt: s.Doubt,
		}
		if s.Signs.Text != "" {
			ch.Signs = c.decimal(s.Signs, "how many signs a channel has", 0, 64)
		}
		c.senses(s, ch)
		c.requests(s, ch)
		if s.Steals.Text != "" {
			ch.Steals = c.decimal(s.Steals, "what a word takes from the machine in cycles", 1, 1000)
		}
		if s.Address.Text != "" && ch.Signs >= 0 {
			c.channelAddress(s, ch)
		}
		c.code.Channels = append(c.code.Channels, ch)
	}
}

// requests takes over which signs of a channel set flip-flops.
func (c *checker) requests(s *syntax.Channel, ch *Channel) {
	for _, q := range s.Requests {
		sign, ok := c.value(q.Sign, 32, "the number of a sign")
		sets := c.flipFlop(q.Sets, "a sign sets one")
		if !ok || sets == nil {
			continue
		}
		if slices.ContainsFunc(ch.Requests, func(other Request) bool { return other.Sets == sets }) || c.code.Requested(sets) {
			c.errorf(q.Sets.At, "two signs are said to set %s, and nothing would tell them apart", sets.Name)
		}
		ch.Requests = append(ch.Requests, Request{int(sign), sets})
	}
}

// senses takes over which lines of a channel are true-low.
func (c *checker) senses(s *syntax.Channel, ch *Channel) {
	said := map[string]bool{}
	for _, sense := range s.Inverted {
		switch sense.What.Text {
		case "words":
			ch.Inverted = true
		case "signs":
			ch.InvertedSigns = ^memory.Word(0)
		case "sign":
			n, _ := c.value(sense.Sign, 64, "the number of a sign")
			if n > 63 {
				c.errorf(sense.Sign.At, "sign %s: where signs are said to be inverted they are numbered up to %s; for all of them write `signs`",
					sense.Sign.Text, c.code.Geometry.Style.Number(63))
				continue
			}
			ch.InvertedSigns |= 1 << n
		}
		if said[sense.String()] || sense.What.Text == "sign" && said["signs"] {
			c.errorf(sense.What.At, "%s of channel %s is said to be inverted twice", sense, ch.Name)
		}
		said[sense.String()] = true
	}
}

// channelAddress gives a channel its places among the addresses of store, where neither store nor another channel answers.
func (c *checker) channelAddress(s *syntax.Channel, ch *Channel) {
	g := &c.code.Geometry
	at, ok := c.addr(s.Address)
	if !ok || !c.begins(s.Address, at) {
		return
	}
	last := at + memory.Addr((2+ch.Signs)*c.code.units()-1)
	if last < at || memory.Word(last) > memory.Mask(g.AddrBits) {
		c.errorf(s.Address.At, "channel %s has %s, for its words, its commands and its signs, and the last would be beyond the last address",
			ch.Name, count(2+ch.Signs, "place"))
		return
	}
	if ch.Width > g.Width {
		c.errorf(s.Bits.At, "channel %s passes %s, but at an address of store there is room for a word of %d", ch.Name, count(ch.Width, "bit"), g.Width)
	}
	for _, area := range g.Areas {
		if at <= area.Last && area.First <= last {
			c.errorf(s.Address.At, "channel %s and area %s both answer at %s",
				ch.Name, area.Name, g.Style.Addr(max(at, area.First), g.AddrBits))
		}
	}
	for _, other := range c.code.Channels {
		if other.At == nil {
			continue
		}
		if first, end := other.Addresses(c.code); at <= end && first <= last {
			c.errorf(s.Address.At, "channels %s and %s both answer at %s",
				other.Name, ch.Name, g.Style.Addr(max(at, first), g.AddrBits))
		}
	}
	ch.At = &at
}
