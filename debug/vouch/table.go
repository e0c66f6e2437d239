package vouch

import (
	"fmt"
	"slices"
)

// blockTable states what became of each block, tape by tape.
func (s *Sheet) blockTable(p *paper) {
	p.part("BLOCKS")
	p.line("Words of each block that were run, read only as data, never touched (decimal).")
	for i, b := range s.Blocks {
		if i == 0 || s.Blocks[i-1].Channel != b.Channel {
			p.line("%-5s %-15s %-21s %4s %4s %4s %s", b.Channel, "loads", "class", "run", "data", "not", s.proofs(Block{Sum: "sum", Check: "check", Parity: "parity"}))
		}
		if b.Class == classMissing || b.Class == classAgain {
			p.line(" %-4s %-15s %-21s %4s %4s %4s", b.Name, "-", b.Class, "-", "-", "-")
			continue
		}
		p.line(" %-4s %-15s %-21s %4d %4d %4d %s", b.Name, dash(b.Loads), b.Class, b.Run, b.Data, b.Untouched, s.proofs(b))
	}
	for _, b := range s.Blocks {
		if b.Trouble != "" {
			p.fold("", "  ", fmt.Sprintf("%s: %s", b.name(), b.Trouble))
		}
	}
	p.all("Odd on the tape, and no block", "", s.Odd)
}

// proofs are the cells that say how a block proves itself, those of kinds that no block records left out.
func (s *Sheet) proofs(b Block) string {
	text := ""
	for _, cell := range []func(Block) string{
		func(b Block) string { return b.Sum }, func(b Block) string { return b.Check }, func(b Block) string { return b.Parity },
	} {
		if slices.ContainsFunc(s.Blocks, func(o Block) bool { return cell(o) != none }) {
			text += fmt.Sprintf(" %-6s", cell(b))
		}
	}
	return text
}

// dash stands where there is nothing to say.
func dash(text string) string {
	if text == "" {
		return none
	}
	return text
}

// untouched lists what no order came near: blocks, then words of the others.
func (s *Sheet) untouched(p *paper) {
	p.part("WHAT NO ORDER TOUCHED")
	var blocks []string
	for _, b := range s.Blocks {
		if b.Class == classUntouched || b.Class == classUnloaded {
			blocks = append(blocks, b.Name)
		}
	}
	p.names("Blocks", "none; some word of each was run or read", blocks)
	for _, b := range s.Blocks {
		if b.Untouched > 0 && b.Untouched < b.Words && b.Places != "" {
			words := "words"
			if b.Untouched == 1 {
				words = "word"
			}
			p.fold("", "  ", fmt.Sprintf("%d %s of %s: %s", b.Untouched, words, b.name(), b.Places))
		}
	}
}
