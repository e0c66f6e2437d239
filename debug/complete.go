package debug

import (
	"maps"
	"slices"
	"strings"

	"coldstart/cpu/jam"
)

// Complete gives what the last word of a line may be completed to, as whole lines. A word that is whole, or that nothing
// is known of, is followed by a blank, so that a tab in a pasted line does what its writer meant.
func (s *Session) Complete(line string) []string {
	at := strings.LastIndexByte(line, ' ') + 1
	before, begun := strings.Fields(line[:at]), line[at:]
	var all []string
	for _, c := range s.choices(before) {
		if strings.HasPrefix(c, begun) {
			all = append(all, line[:at]+c)
		}
	}
	switch {
	case begun != "" && (len(all) == 0 || slices.Contains(all, line)):
		return []string{line + " "}
	case len(all) == 1:
		return []string{all[0] + " "}
	}
	return all
}

// choices are the words that may follow some others.
func (s *Session) choices(before []string) []string {
	if len(before) == 0 {
		return names()
	}
	w, err := find(before[0])
	if err != nil {
		return nil
	}
	last := before[len(before)-1]
	switch first := len(before) == 1; {
	case w.name == "help" && first:
		return names()
	case w.name == "hold" && first:
		return []string{"at", "on", "when"}
	case w.name == "hold" && last == "on":
		return []string{"read", "write"}
	case w.name == "back" && first:
		return []string{"until"}
	case w.name == "trail" && first:
		return []string{"json", "vcd"}
	case w.name == "why" && first:
		return []string{"last", "dark", "lit"}
	case w.name == "lift" && first:
		return []string{"all"}
	case (w.name == "key" || w.name == "look") && first:
		return s.registers()
	case w.name == "roll" && first:
		return []string{"until", "within"}
	case w.name == "roll" && last == "until":
		return slices.Concat(s.goals(), s.registers(), []string{"here", "store", "lamp"})
	case w.name == "roll" && len(before) > 2 && !slices.Contains(before, "within"):
		return []string{"and", "or", "within"}
	case w.name == "jam":
		return jam.Next(s.code, before[1:], s.plan.Names()...)
	case w.name == "lamps" && first:
		return []string{"live", "still"}
	case w.name == "look" && last == "as":
		return []string{"orders", "characters"}
	case (w.name == "seat" || w.name == "unseat" || w.name == "chan") && first:
		return s.channelNames()
	case w.name == "follow" && first, w.name == "seat", w.name == "keep" && last == "in", w.name == "recall" && last == "from",
		w.name == "trail" && (last == "json" || last == "vcd"):
		return s.files()
	case w.name == "keep" && len(before) == 2:
		return []string{"in"}
	case w.name == "recall" && first:
		return append(slices.Sorted(maps.Keys(s.kept)), "from")
	case w.name == "unjam":
		return s.jammed(before[1:])
	}
	return nil
}

// channelNames are the channels of the machine.
func (s *Session) channelNames() []string {
	var all []string
	for _, ch := range s.code.Channels {
		all = append(all, ch.Name)
	}
	return all
}

// Words are all words of the desk.
func Words() []string { return names() }

// Word is the word of the desk that a line begins with, whole; false where that is none, or could be several.
func Word(line string) (string, bool) {
	typed := strings.Fields(line)
	if len(typed) == 0 {
		return "", false
	}
	w, err := find(typed[0])
	if err != nil {
		return "", false
	}
	return w.name, true
}

// names are all words of the desk.
func names() []string {
	var all []string
	for _, w := range words {
		all = append(all, w.name)
	}
	return all
}

// jammed are the words that follow some others in the jams that are in.
func (s *Session) jammed(before []string) []string {
	var all []string
	for _, j := range s.jams {
		words := strings.Fields(j.String())
		if n := len(before); n < len(words) && slices.Equal(before, words[:n]) && !slices.Contains(all, words[n]) {
			all = append(all, words[n])
		}
	}
	return all
}
