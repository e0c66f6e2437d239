package vouch

import (
	"fmt"
	"strconv"
	"strings"

	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// Text is the sheet as it is printed: numbered sheets of plain text, the last one closed by the digest of all.
func (s *Sheet) Text() string {
	p := new(paper)
	for _, part := range []func(*paper){s.result, s.signatures, s.from, s.course, s.blockTable, s.untouched, s.words, s.machineUse, s.around, s.limits, s.cautions} {
		part(p)
	}
	return p.sheets(s.below())
}

// below is what stands under the title of every sheet: what it is about, in a line.
func (s *Sheet) below() string {
	tape, image := "no tape", s.Digest
	if len(s.Tapes) > 0 {
		tape, image = "tape "+s.Tapes[0].Label, s.Tapes[0].SHA256
		if s.Tapes[0].Label == "" {
			tape = s.Tapes[0].File + ", no label"
		}
	}
	if len(s.Tapes) > 1 {
		tape, image = fmt.Sprintf("%d tapes", len(s.Tapes)), s.Digest
	}
	text := []rune(list.Safe(s.Office + "   " + tape))
	if most := list.Paper - 40; len(text) > most {
		text = append(text[:most-3], []rune("...")...)
	}
	return fmt.Sprintf("%s   image %s...%s   %s", string(text), image[:min(8, len(image))], image[max(0, len(image)-4):], s.Result)
}

// result is the first part: what a person must see who reads nothing else.
func (s *Sheet) result(p *paper) {
	switch {
	case s.Passed:
		p.line("Result: GOOD, BY OVERRIDE OF %s", s.By)
	default:
		p.line("Result: %s", s.Result)
	}
	p.fold("  ", "  ", s.means())
	against := "Against it"
	if s.Passed {
		against += fmt.Sprintf(", and let pass by %s", s.By)
	}
	p.all(against, "", s.Against)
	p.all("Look at", "", s.LookAt)
	p.all("To settle it", "", s.ToSettle)
	if s.Override != "" {
		p.fold("", "  ", "Override in writing, by "+s.By+": "+s.Override)
		p.fold("  ", "  ", s.Effect)
	}
	p.line("")
	var counts []string
	for _, c := range classes {
		if c == classAgain && s.count(c) == 0 {
			continue // rare, and no news where there are none
		}
		counts = append(counts, fmt.Sprintf("%s %d", c, s.count(c)))
	}
	p.fold("", "  ", fmt.Sprintf("Blocks %d: %s.", len(s.Blocks), strings.Join(counts, "; ")))
	p.fold("", "  ", "Doubtful words left: "+s.left()+".")
	p.fold("", "  ", fmt.Sprintf("Order kinds used %d of %d.   Doubt marks in the machine file %d, met %d.   Faults put in: %s.",
		s.Use.Used, s.Use.Kinds, s.Use.Doubts, len(s.Use.Met), number(len(s.Jams))))
	p.fold("", "  ", fmt.Sprintf("This sheet says only what happened in simulation. It says nothing about the %s, the hardware or the network.", s.silent()))
}

// means says in a sentence what the result means, and no more than that.
func (s *Sheet) means() string {
	good := watch.Good.String()
	switch {
	case s.Passed:
		return "Nothing in this run contradicts the image but what is written here against it, which a person lets pass."
	case s.Result == good:
		return "Nothing in this run contradicts the image."
	case s.Result == watch.Trouble.String():
		return "This run ended badly, and nothing that is missing or doubtful on the tape explains it: the image, the machine file or what stands around the machine is not as it should be."
	case s.Run == good:
		return "The run by itself is GOOD; what is written here against it keeps the sheet from that."
	}
	return "This run says nothing certain of the image."
}

// silent counts what no order came near.
func (s *Sheet) silent() string {
	words := 0
	for _, b := range s.Blocks {
		words += b.Untouched
	}
	return fmt.Sprintf("%d words that were never touched", words)
}

// number writes a count, and a word for none.
func number(n int) string {
	if n == 0 {
		return "none"
	}
	return strconv.Itoa(n)
}

// signatures leaves room for ink.
func (s *Sheet) signatures(p *paper) {
	p.line("")
	p.line("Decision by: ______________________  signed: ___________________  date: ________")
	p.line("")
	p.line("Witnessed:   ______________________  signed: ___________________  date: ________")
	p.line("")
	p.line("Void if any digest below changes, or a byte of this text.")
}

// from states who made the sheet from what, and how it is made again.
func (s *Sheet) from(p *paper) {
	p.part("WHO, WHEN, FROM WHAT")
	p.line("%s%s", byLabel, s.By)
	p.line("%s%s", dateLabel, s.Date)
	for i, l := range s.Program {
		label := programLabel
		if i > 0 {
			label = strings.Repeat(" ", len(programLabel))
		}
		p.line("%s%s", label, l)
	}
	p.line("%s%s", machineLabel, s.Machine)
	p.line("")
	p.line("%s", inputsHead)
	for _, in := range s.Inputs {
		p.line("  %s  (%s)", in.Path, in.Part)
		p.line("    sha256 %s", in.SHA256)
	}
	p.line("  the words in store that these load, by address")
	p.line("    SHA256 %s", s.Digest)
	p.keep(len(s.Command) + 2)
	p.line("")
	p.line("%s", commandHead)
	for _, l := range s.Command {
		p.line("%s", l)
	}
}

// The labels that a sheet is read back by.
const (
	byLabel      = "Made by:       "
	dateLabel    = "Date:          "
	programLabel = "Program:       "
	machineLabel = "Machine:       "
	inputsHead   = "Files, each with its SHA-256:"
	commandHead  = "To make this sheet again, in the same folder:"
)

// course states how far the run came.
func (s *Sheet) course(p *paper) {
	p.part("THE RUN")
	p.fold("", "  ", fmt.Sprintf("%s at %s, %d orders. %s", s.Ending, s.Clock, s.Orders, s.fills()))
	p.all("Milestones", "none reached", s.Milestones)
	p.all("Not reached", "", s.Missing)
	p.all("Chases", "none expected", s.Chases)
	p.all("Printed", "nothing", s.Printed)
	p.all("Stopped", "", s.Stop)
	p.all("Store that gave back something else than was written", "none", s.Misread)
	p.all("Read before anything wrote it", "nothing", s.Unwritten)
}

// fills says which fills of unwritten store were tried.
func (s *Sheet) fills() string {
	if s.Agreed != "" {
		return s.Agreed
	}
	return fmt.Sprintf("One run, with fill %d of unwritten store.", s.Fills[0])
}

// around states what stood around the machine.
func (s *Sheet) around(p *paper) {
	p.part("AROUND THE MACHINE")
	p.all("Devices, none of them real", "no channels", s.Devices)
	p.all("Keys, as they stood at power-up", "the machine file has none", s.Keys)
	p.all("Resume key pressed", "never", s.Resumed)
	p.all("Faults put in", "none", s.Jams)
}

// machineUse states what the run used of the machine file.
func (s *Sheet) machineUse(p *paper) {
	u := s.Use
	p.part("THE MACHINE FILE IN THIS RUN")
	p.line("Order kinds in the file %d, used %d, never used %d.", u.Kinds, u.Used, len(u.Never))
	p.names("Never used", "none", u.Never)
	p.line("Undefined orders met: %s", number(int(u.Undefined)))
	p.all(fmt.Sprintf("Doubt marks in the file %d; met", u.Doubts), "none", u.Met)
	p.all("Orders run on whose bits the handbook is silent", "none", u.Unknown)
	p.line("Branches run %d, seen one way only %d.", u.Branches, len(u.Onward)+len(u.Away))
	p.names("Only ever went on, at", "none", u.Onward)
	p.names("Only ever went away, at", "none", u.Away)
}
