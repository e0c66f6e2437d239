package cli

import (
	"fmt"
	"io"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
)

// An assembleReport says what order text came to.
type assembleReport struct {
	heading
	Words  []assembledWord  `json:"words"`
	Labels []assembledLabel `json:"labels"`
	Blocks []assembledBlock `json:"blocks"`
	Wrote  []string         `json:"wrote"`    // files, as named
	As     []string         `json:"wrote_as"` // what stands in each, and how words were made bytes
	Notes  []string         `json:"notes"`    // about the recording

	wrotes []string // a line for each file written
	text   string   // words or listing to be printed
}

// An assembledWord is one word and the line it comes from.
type assembledWord struct {
	Address uint64 `json:"address"`
	At      string `json:"at"` // the address in the machine's style
	Word    uint64 `json:"word"`
	Shown   string `json:"shown"` // the word in the machine's style
	Order   bool   `json:"order"` // else data
	File    string `json:"file"`
	Line    int    `json:"line"`
}

// An assembledLabel is one label.
type assembledLabel struct {
	Name    string `json:"name"`
	Address uint64 `json:"address"`
	At      string `json:"at"`
}

// An assembledBlock is one tape block.
type assembledBlock struct {
	Number  int    `json:"number"`
	Address uint64 `json:"address"`
	At      string `json:"at"`
	Count   int    `json:"count"`
}

// fill takes the program over.
func (r *assembleReport) fill(c *order.Code, p *assemble.Program) {
	g := &c.Geometry
	// A reader of JSON should find lists, also where they are empty.
	r.Words, r.Labels, r.Blocks = []assembledWord{}, []assembledLabel{}, []assembledBlock{}
	r.Wrote, r.As, r.Notes = []string{}, []string{}, []string{}
	for _, w := range p.Words {
		r.Words = append(r.Words, assembledWord{
			Address: uint64(w.Addr), At: g.Style.Addr(w.Addr, g.AddrBits),
			Word: uint64(w.Word), Shown: g.Style.Word(w.Word, g.Width),
			Order: w.Order, File: w.At.Filename, Line: w.At.Line,
		})
	}
	for _, l := range p.Labels {
		r.Labels = append(r.Labels, assembledLabel{l.Name, uint64(l.Addr), g.Style.Addr(l.Addr, g.AddrBits)})
	}
	for _, b := range p.Blocks {
		r.Blocks = append(r.Blocks, assembledBlock{b.Number, uint64(b.First), g.Style.Addr(b.First, g.AddrBits), b.Count})
	}
}

// wrote notes a file that will have been written when the report is shown.
func (r *assembleReport) wrote(path, what string) {
	r.Wrote, r.As = append(r.Wrote, path), append(r.As, what)
	r.wrotes = append(r.wrotes, fmt.Sprintf("wrote %s: %s", path, what))
}

func (r *assembleReport) print(w io.Writer) {
	io.WriteString(w, r.text)
	for _, line := range append(r.wrotes, r.Notes...) {
		fold(w, "", line)
	}
}

// amount counts things in plain words.
func amount(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// asItIs says that words and a listing are for files.
func (*assembleReport) asItIs() {}
