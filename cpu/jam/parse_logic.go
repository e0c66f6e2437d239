package jam

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/loader/list"
)

// logical is a fault of the logic, intermittent where that was said.
func (p *parser) logical(f cpu.Fault) place {
	f.Chance = p.chance
	return logical{f}
}

// named finds a register by its name among those that are meant.
func (p *parser) named(name, what string, meant func(*order.Register) bool) *order.Register {
	var names []string
	for _, r := range p.code.Registers {
		if meant(r) && r.Name == name {
			return r
		}
		if meant(r) {
			names = append(names, r.Name)
		}
	}
	p.fail("%s", list.Unknown(what, name, names))
	return nil
}

// register reads `register NAME bit NUMBER = 0|1`.
func (p *parser) register(words []string) (string, place) {
	const form = "register NAME bit NUMBER = 0|1"
	if len(words) < 2 {
		p.write(form)
		return "", nil
	}
	r := p.named(words[1], "register", func(r *order.Register) bool { return !r.FlipFlop })
	if p.err == nil && (len(words) < 4 || words[2] != "bit") {
		p.write("register " + r.Name + " bit NUMBER = 0|1")
	}
	if p.err != nil {
		return "", nil
	}
	f := cpu.Fault{Part: cpu.RegisterBit, Number: r.Number, Bit: p.bit(words[3], r.Width), Value: p.value(words[4:], form)}
	return fmt.Sprintf("register %s bit %s = %d", r.Name, p.bitText(f.Bit, r.Width), f.Value), p.logical(f)
}

// flipFlop reads `NAME flip-flop = 0|1`.
func (p *parser) flipFlop(name string, words []string) (string, place) {
	r := p.named(name, "flip-flop", func(r *order.Register) bool { return r.FlipFlop })
	if r == nil {
		return "", nil
	}
	f := cpu.Fault{Part: cpu.RegisterBit, Number: r.Number, Value: p.value(words[2:], name+" flip-flop = 0|1")}
	return fmt.Sprintf("%s flip-flop = %d", name, f.Value), p.logical(f)
}

// adder reads `adder carry into bit NUMBER = 0|1`.
func (p *parser) adder(words []string) (string, place) {
	const form = "adder carry into bit NUMBER = 0|1"
	if len(words) < 5 || !like(words[:5], "adder carry into bit NUMBER") {
		p.write(form)
		return "", nil
	}
	width := p.g.Width
	f := cpu.Fault{Part: cpu.AdderCarry, Bit: p.bit(words[4], width), Value: p.value(words[5:], form)}
	return fmt.Sprintf("adder carry into bit %s = %d", p.bitText(f.Bit, width), f.Value), p.logical(f)
}

// orderBit reads `order bit NUMBER = 0|1`.
func (p *parser) orderBit(words []string) (string, place) {
	const form = "order bit NUMBER = 0|1"
	if len(words) < 3 || words[1] != "bit" {
		p.write(form)
		return "", nil
	}
	width := p.code.OrderWidth()
	f := cpu.Fault{Part: cpu.OrderBit, Bit: p.bit(words[2], width), Value: p.value(words[3:], form)}
	return fmt.Sprintf("order bit %s = %d", p.bitText(f.Bit, width), f.Value), p.logical(f)
}

// skip reads `skip gate never` and `skip gate always`.
func (p *parser) skip(words []string) (string, place) {
	value := slices.Index([]string{"never", "always"}, words[len(words)-1])
	if !like(words, "skip gate WAY") || value < 0 {
		p.write("skip gate never|always")
		return "", nil
	}
	return strings.Join(words, " "), p.logical(cpu.Fault{Part: cpu.SkipGate, Value: value})
}

// timer reads `timer NAME never fires`.
func (p *parser) timer(words []string) (string, place) {
	if !like(words, "timer NAME never fires") {
		p.write("timer NAME never fires")
		return "", nil
	}
	var names []string
	for _, t := range p.code.Timers {
		if t.Name == words[1] {
			return strings.Join(words, " "), p.logical(cpu.Fault{Part: cpu.DeadTimer, Number: t.Number})
		}
		names = append(names, t.Name)
	}
	p.fail("%s", list.Unknown("timer", words[1], names))
	return "", nil
}

// clock reads `clock slow by NUMBER per cent`: each cycle lasts so much longer, exactly.
func (p *parser) clock(words []string) (string, place) {
	if !like(words, "clock slow by NUMBER per cent") {
		p.write("clock slow by NUMBER per cent")
		return "", nil
	}
	share, ok := new(big.Rat).SetString(words[3])
	most := big.NewRat(1000, 1)
	switch {
	case !ok || strings.Trim(words[3], "0123456789.") != "" || len(words[3]) > 8:
		p.fail("%s is no share of a cycle: write a decimal number, such as 2.5", shown(words[3]))
	case share.Sign() == 0 || share.Cmp(most) > 0:
		p.fail("a clock is slow by more than 0 and by at most 1000 per cent")
	case p.code.Cycle == 0:
		p.fail("the machine file states no clock, so that none can be slow")
	default:
		part := new(big.Rat).Quo(share, big.NewRat(100, 1))
		if part.Denom().Cmp(big.NewInt(1e8)) > 0 {
			p.fail("%s is too fine: give at most six places", shown(words[3]))
			return "", nil
		}
		text := share.FloatString(6)
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
		return "clock slow by " + text + " per cent", p.logical(cpu.Fault{
			Part: cpu.SlowClock, More: part.Num().Int64(), Per: part.Denom().Int64(),
		})
	}
	return "", nil
}
