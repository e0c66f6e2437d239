package channel

import (
	"math/big"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// Form is the list record that describes a device. What follows the kind are names with their values, in any order; what
// is left out has the value shown here. Numbers are in the machine's own style, baud and units in decimal.
//
//	device TC1 tape word 125 us gap 15375 us start 5 ms stop 3 ms back 60 ms rewind 10 ms
//	device TC1 tape command forward 1 command stop 2 command back 3 command rewind 4
//	device TC1 tape sign ready 0 sign gap 1 sign end 2 sign late 3 sign moving 4
//	device TT1 teletypewriter baud 110 units 11 parity even typed 5
//	device CK1 clock period 8 ms
//
// Parity is even, odd or none; where none is named there is none.
var Form = list.Form{Shape: "device CHANNEL tape|teletypewriter|clock ...", Min: 2, Max: -1}

// Parse makes the device that a record of Form describes, and gives the name of the channel it stands at. The device nil
// has been noted in errs; others are kinds that whoever asks knows of besides.
func Parse(errs *list.Errors, r list.Record, style memory.Style, others ...string) (name list.Word, d Device) {
	args := r.Args()
	s := settings{list.NewSettings(errs, r, 3), style}
	switch args[1].OneOf(errs, "kind of device", slices.Concat([]string{"tape", "teletypewriter", "clock"}, others)...) {
	case 0:
		d = NewDrive(s.drive())
	case 1:
		d = s.teletypewriter()
	case 2:
		d = s.clock()
	}
	if !s.OK() {
		return args[0], nil
	}
	return args[0], d
}

// The names of a drive's commands and signs, in the order DriveSpec numbers them.
var (
	commandNames = [commandCount]string{"forward", "stop", "back", "rewind"}
	signNames    = [signCount]string{"ready", "gap", "end", "late", "moving"}
)

// drive reads the settings of a tape drive.
func (s settings) drive() DriveSpec {
	spec := DefaultDrive()
	times := []*cpu.Time{&spec.Word, &spec.Gap, &spec.Start, &spec.Stop, &spec.Back, &spec.Rewind}
	for s.More() {
		switch i := s.Name("word", "gap", "start", "stop", "back", "rewind", "command", "sign"); i {
		case -1:
		case 6:
			if n := s.Name(commandNames[:]...); n >= 0 {
				spec.Commands[n] = memory.Word(s.number("the number of a command"))
			}
		case 7:
			if n := s.Name(signNames[:]...); n >= 0 {
				spec.Signs[n] = int(s.number("the number of a sign"))
			}
		default:
			*times[i] = cpu.ReadTime(s.Settings)
		}
	}
	return spec
}

// teletypewriter reads the settings of a teletypewriter.
func (s settings) teletypewriter() *Teletypewriter {
	baud, units, parity, typed := big.NewRat(110, 1), big.NewRat(11, 1), NoParity, typedSign
	for s.More() {
		switch s.Name("baud", "units", "parity", "typed") {
		case 0:
			baud = s.decimal("the line rate")
		case 1:
			units = s.decimal("the units of a character")
		case 2:
			if n := s.Name("none", "even", "odd"); n >= 0 {
				parity = Parity(n)
			}
		case 3:
			typed = int(s.number("the number of the sign that a character typed waits"))
		}
	}
	if !s.OK() {
		return nil
	}
	t := NewTeletypewriter(characterTime(units, baud), parity)
	t.typedSign = typed
	return t
}

// characterTime is units divided by baud, in picoseconds: rounded once, half up.
func characterTime(units, baud *big.Rat) cpu.Time {
	t := new(big.Rat).Quo(units, baud)
	t.Mul(t, big.NewRat(int64(cpu.Second), 1))
	t.Add(t, big.NewRat(1, 2))
	return cpu.Time(new(big.Int).Quo(t.Num(), t.Denom()).Int64())
}

// clock reads the settings of a clock.
func (s settings) clock() *Clock {
	period := 8 * cpu.Millisecond
	for s.More() {
		if s.Name("period") == 0 {
			period = cpu.ReadTime(s.Settings)
		}
	}
	return NewClock(period)
}

// settings are the words of a record that are left to read.
type settings struct {
	*list.Settings
	style memory.Style
}

// number reads a number in the machine's own style; signs and commands have small numbers.
func (s settings) number(what string) uint64 {
	w, ok := s.Next(what)
	if !ok {
		return 0
	}
	n, err := s.style.Parse(w.Text)
	switch {
	case err != nil:
		s.Wrong("%v; %s belongs here", err, what)
	case n > 0xFFFF:
		s.Wrong("%s is far too large for %s", w.Text, what)
	}
	return n
}

// decimal reads a decimal number from 1 to 100000, exactly.
func (s settings) decimal(what string) *big.Rat {
	w, ok := s.Next(what)
	if !ok {
		return nil
	}
	value, ok := new(big.Rat).SetString(w.Text)
	low, high := big.NewRat(1, 1), big.NewRat(100_000, 1)
	if !ok || strings.Trim(w.Text, "0123456789.") != "" || value.Cmp(low) < 0 || value.Cmp(high) > 0 {
		s.Wrong("%q is no number for %s; write one from 1 to 100000, in decimal", w.Text, what)
	}
	return value
}
