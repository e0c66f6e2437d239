package cli

import (
	"io"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A reciteReport is an image as order text.
type reciteReport struct {
	heading
	LeftOut []string     `json:"left_out"` // blocks that are not in the image, and why
	Lines   []reciteLine `json:"lines"`
	Wrote   []string     `json:"wrote"`    // files, as named
	As      []string     `json:"wrote_as"` // what stands in each, and how words were made bytes

	text string // as printed
}

// A reciteLine is one line of the listing.
type reciteLine struct {
	Address uint64   `json:"address"`
	At      string   `json:"at"` // the address in the machine's style
	Words   []uint64 `json:"words"`
	Shown   []string `json:"shown"` // the words in the machine's style
	Text    string   `json:"text"`
	From    source   `json:"from"` // of the first word
}

// A source is the origin of a word.
type source struct {
	Kind  string `json:"kind"` // tape, wired, typed; "" where it is not known
	File  string `json:"file"`
	Block *int   `json:"block,omitempty"` // on a tape
	Word  *int   `json:"word,omitempty"`  // of the block
	Line  int    `json:"line,omitempty"`  // of a file of plain words
}

// fill lists the words of the image.
func (r *reciteReport) fill(c *order.Code, image *memory.Image) {
	g := &c.Geometry
	r.Lines, r.Wrote, r.As = []reciteLine{}, some(r.Wrote), some(r.As)
	for l := range assemble.Lines(c, plainWords(image)) {
		line := reciteLine{Address: uint64(l.At), At: g.Style.Addr(l.At, g.AddrBits), Text: l.Text}
		for _, w := range l.Words {
			line.Words = append(line.Words, uint64(w))
			line.Shown = append(line.Shown, g.Style.Word(w, g.Width))
		}
		_, from, _ := image.At(l.At)
		line.From = sourceOf(from)
		r.Lines = append(r.Lines, line)
	}
}

// sourceOf puts an origin into a report.
func sourceOf(o memory.Origin) source {
	s := source{File: o.File}
	switch o.Kind {
	case memory.Tape:
		s.Kind, s.Block, s.Word = "tape", &o.Block, &o.Word
	case memory.Wired:
		s.Kind, s.Line = "wired", o.Block
	case memory.Typed:
		s.Kind, s.Line = "typed", o.Block
	}
	return s
}

func (r *reciteReport) print(w io.Writer) { io.WriteString(w, r.text) }

// asItIs says that a listing can be assembled again.
func (*reciteReport) asItIs() {}
