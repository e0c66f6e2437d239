package channel

import (
	"math/big"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/channel/code"
	"coldstart/loader/list"
	"coldstart/memory"
)

// Form is the list record that describes a device: see the manual.
var Form = list.Form{Shape: "device CHANNEL tape|teletypewriter|clock ...", Min: 2, Max: -1}

// Parse makes the device that a record of Form describes, and gives the name of the channel it stands at. The device nil
// has been noted in errs. Codes are those of a team's own; others are kinds that whoever asks knows of besides.
func Parse(errs *list.Errors, r list.Record, style memory.Style, codes []*code.Set, others ...string) (name list.Word, d Device) {
	args := r.Args()
	s := settings{list.NewSettings(errs, r, 3), style, slices.Concat(code.Sets, codes)}
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
	commandNames = [commandCount]string{"forward", "stop", "back", "rewind", "direct"}
	signNames    = [signCount]string{"ready", "gap", "end", "late", "moving", "locked"}
)

// drive reads the settings of a tape drive.
func (s settings) drive() DriveSpec {
	spec := DefaultDrive()
	times := []*cpu.Time{&spec.Word, &spec.Gap, &spec.Start, &spec.Stop, &spec.Back, &spec.Rewind}
	for s.More() {
		switch i := s.Name("word", "gap", "start", "stop", "back", "rewind", "command", "sign", "lock"); i {
		case -1:
		case 6:
			if n := s.Name(commandNames[:]...); n >= 0 {
				spec.Commands[n] = memory.Word(s.number("the number of a command"))
			}
		case 7:
			if n := s.Name(signNames[:]...); n >= 0 {
				spec.Signs[n] = int(s.number("the number of a sign"))
			}
		case 8:
			spec.Unlocked = s.Name("on", "off") == 1
		default:
			*times[i] = cpu.ReadTime(s.Settings)
		}
	}
	return spec
}

// teletypewriter reads the settings of a teletypewriter.
func (s settings) teletypewriter() *Teletypewriter {
	line, typed, units := DefaultLine(), typedSign, false
	for s.More() {
		switch s.Name("baud", "units", "parity", "typed", "code") {
		case 0:
			line.Baud = s.decimal("the line rate")
		case 1:
			line.Units, units = s.decimal("the units of a character"), true
		case 2:
			if n := s.Name("none", "even", "odd"); n >= 0 {
				line.Parity = code.Parity(n)
			}
		case 3:
			typed = int(s.number("the number of the sign that a character typed waits"))
		case 4:
			if n := s.Name(names(s.codes)...); n >= 0 {
				line.Code = s.codes[n]
			}
		}
	}
	if !s.OK() {
		return nil
	}
	if line.Code.Units == 5 && !units {
		line.Units = big.NewRat(15, 2)
	}
	if low, high := line.bounds(); line.Units.Cmp(low) < 0 || line.Units.Cmp(high) > 0 {
		s.Wrong("a character of %s has from %s to %s units: a start, its data, parity if there is any, and a stop of 1 to 2",
			line.Code.Name, low.RatString(), high.RatString())
		return nil
	}
	t := NewTeletypewriter(line)
	t.typedSign = typed
	return t
}

// bounds are the fewest and the most units that a character of the line can have. An ASCII line without parity may carry an
// eighth bit all the same.
func (l *LineSpec) bounds() (low, high *big.Rat) {
	data := int64(l.Code.Units)
	most := data
	switch {
	case l.Parity != code.None:
		data, most = data+1, data+1
	case data == 7:
		most++
	}
	return big.NewRat(data+2, 1), big.NewRat(most+3, 1)
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
	codes []*code.Set
}

// names are those of codes.
func names(codes []*code.Set) (all []string) {
	for _, s := range codes {
		all = append(all, s.Name)
	}
	return all
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
