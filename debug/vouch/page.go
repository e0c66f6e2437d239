package vouch

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"coldstart/loader/list"
)

// What a sheet of paper holds. Every sheet is filled with empty lines to its last, so that they fall one to a page of a
// printer set to as many lines.
const (
	sheetLines = 60 // of one sheet, its head included
	headLines  = 3
	room       = sheetLines - headLines
	endLines   = 3 // at the end of the last sheet: an empty one, and the digest
)

// The fixed texts by which a sheet is known and read back.
const (
	title    = "CONFIRMATION BEFORE WRITE-BACK"
	sealText = "SHA-256 of every byte above this line:"
	seal     = "  sha256 "
)

// A paper is text that is being laid out, line by line.
type paper struct{ lines []string }

// line adds a line as it stands.
func (p *paper) line(format string, args ...any) {
	p.lines = append(p.lines, strings.TrimRight(list.Safe(fmt.Sprintf(format, args...)), " "))
}

// fold adds a line that goes on below, further in, where it is too wide.
func (p *paper) fold(indent, hang, text string) {
	p.lines = append(p.lines, strings.Split(list.Fold(indent+list.Safe(text), hang), "\n")...)
}

// all adds each of some lines below a label, and a word for none where there are none.
func (p *paper) all(label, none string, lines []string) {
	switch {
	case len(lines) == 0 && none != "":
		p.line("%s: %s", label, none)
	case len(lines) > 0:
		p.line("%s:", label)
	}
	for _, l := range lines {
		p.fold("  ", "      ", l)
	}
}

// names adds words in a run below a label, and a word for none where there are none.
func (p *paper) names(label, none string, words []string) {
	if len(words) == 0 {
		p.line("%s: %s", label, none)
		return
	}
	p.fold("", "  ", label+": "+strings.Join(words, ", "))
}

// keep begins a new sheet of paper where the next n lines would not all find room on this one.
func (p *paper) keep(n int) {
	if left := room - len(p.lines)%room; left < n {
		p.lines = append(p.lines, make([]string, left)...)
	}
}

// part begins a part of the sheet, not so near the end of a sheet of paper that little of it would find room.
func (p *paper) part(name string) {
	p.keep(6)
	if len(p.lines)%room > 0 {
		p.line("")
	}
	p.line("%s", name)
}

// sheets puts the lines on numbered sheets and closes them with the digest of all that is on them. Below names what the
// sheets are about and stands under the title of each.
func (p *paper) sheets(below string) string {
	n := (len(p.lines) + endLines + room - 1) / room
	var b strings.Builder
	for i := range n {
		number := fmt.Sprintf("sheet %d of %d", i+1, n)
		fmt.Fprintf(&b, "%s%*s\n%s\n%s\n", title, list.Paper-len(title), number, below, strings.Repeat("-", list.Paper))
		lines := p.lines[min(i*room, len(p.lines)):min((i+1)*room, len(p.lines))]
		for _, l := range lines {
			b.WriteString(l + "\n")
		}
		if i < n-1 {
			b.WriteString(strings.Repeat("\n", room-len(lines)))
		}
	}
	b.WriteString("\n" + sealText + "\n")
	return b.String() + fmt.Sprintf("%s%x\n", seal, sha256.Sum256([]byte(b.String())))
}
