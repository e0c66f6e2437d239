package jam

import (
	"fmt"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/order"
	"coldstart/loader/list"
)

// byChannel reads what is wrong with a channel, or with the tape on it.
func (p *parser) byChannel(ch *order.Channel, words []string) (string, place) {
	name, rest := ch.Name, words[1:]
	switch {
	case like(rest, "dead"):
		return name + " dead", p.wired(ch, channel.Fault{Part: channel.Dead})
	case like(rest, "request missing"):
		return name + " request missing", unasking{ch, p.chance}
	case len(rest) > 2 && rest[1] == "bit" && (rest[0] == "receive" || rest[0] == "transmit"):
		return p.channelBit(ch, rest)
	case len(rest) > 1 && rest[0] == "sign":
		f := channel.Fault{Part: channel.SignLine, Bit: p.number(rest[1]), Value: p.value(rest[2:], name+" sign NUMBER = 0|1")}
		if p.err == nil && f.Bit >= max(ch.Signs, 64) {
			p.fail("%s has no sign %s", name, shown(rest[1]))
		}
		return fmt.Sprintf("%s sign %s = %d", name, p.small(f.Bit), f.Value), p.wired(ch, f)
	case len(rest) > 1 && rest[0] == "block":
		return p.block(ch, rest)
	case len(rest) > 2 && like(rest[:3], "gap before block"):
		return p.gap(ch, rest)
	case len(rest) > 0:
		first := []string{"receive", "transmit", "sign", "request", "block", "gap", "dead"}
		if near := list.Nearest(rest[0], first); near != "" && near != rest[0] {
			p.fail("%s", list.Unknown("part of "+name, rest[0], first))
		}
	}
	p.write(name + " receive|transmit bit NUMBER = 0|1")
	return "", nil
}

// small writes a small number as the machine file has numbers.
func (p *parser) small(n int) string { return p.g.Style.Number(uint64(n)) }

// wired is a fault of a channel, intermittent where that was said.
func (p *parser) wired(ch *order.Channel, f channel.Fault) place {
	f.Chance = p.chance
	return wired{ch.Code, f}
}

// channelBit reads `receive|transmit bit NUMBER = 0|1`.
func (p *parser) channelBit(ch *order.Channel, words []string) (string, place) {
	f := channel.Fault{Part: channel.ReceiveBit, Bit: p.bit(words[2], ch.Width)}
	if words[0] == "transmit" {
		f.Part = channel.SendBit
	}
	f.Value = p.value(words[3:], ch.Name+" "+words[0]+" bit NUMBER = 0|1")
	return fmt.Sprintf("%s %s bit %s = %d", ch.Name, words[0], p.bitText(f.Bit, ch.Width), f.Value), p.wired(ch, f)
}

// block reads `block NUMBER missing` and `block NUMBER word NUMBER bit NUMBER turned`.
func (p *parser) block(ch *order.Channel, words []string) (string, place) {
	f := channel.Fault{Part: channel.TapeMissing, Block: p.number(words[1])}
	name := fmt.Sprintf("%s block %s", ch.Name, p.small(f.Block))
	switch rest := words[2:]; {
	case like(rest, "missing"):
		return name + " missing", p.wired(ch, f)
	case like(rest, "word NUMBER bit NUMBER turned"), like(rest, "word NUMBER bit NUMBER"):
		f.Part, f.Word, f.Bit = channel.TapeBit, p.number(rest[1]), p.bit(rest[3], ch.Width)
		return fmt.Sprintf("%s word %s bit %s turned", name, p.small(f.Word), p.bitText(f.Bit, ch.Width)), p.wired(ch, f)
	}
	p.write(ch.Name + " block NUMBER missing` or `" + ch.Name + " block NUMBER word NUMBER bit NUMBER turned")
	return "", nil
}

// gap reads `gap before block NUMBER lasts TIME`.
func (p *parser) gap(ch *order.Channel, words []string) (string, place) {
	if !like(words, "gap before block NUMBER lasts NUMBER UNIT") {
		p.write(ch.Name + " gap before block NUMBER lasts TIME")
		return "", nil
	}
	f := channel.Fault{Part: channel.TapeGap, Block: p.number(words[3])}
	var err error
	if f.Gap, err = cpu.ParseTime(words[5], words[6]); err != nil {
		p.fail("%v", err)
	}
	return fmt.Sprintf("%s gap before block %s lasts %v", ch.Name, p.small(f.Block), f.Gap), p.wired(ch, f)
}
