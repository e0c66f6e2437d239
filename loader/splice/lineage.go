package splice

import (
	"bytes"
	"encoding/json"
	"slices"

	"coldstart/memory"
)

// An Input is a file that a merged image rests on.
type Input struct {
	Name   string `json:"name"` // what it went by when the image was made
	Path   string `json:"path"` // from the folder that the lineage lies in
	SHA256 string `json:"sha256"`
	Of     string `json:"decode_of,omitempty"` // name of the pass that this is another decode of
}

// A Head is the first line of a lineage: all that the image was made of, so that it can be made again.
type Head struct {
	Lineage   int      `json:"lineage"` // version of this notation, 1
	Image     Input    `json:"image"`
	Layout    Input    `json:"layout"`
	Passes    []Input  `json:"passes"` // and their further decodes, each behind its pass
	Decisions *Input   `json:"decisions,omitempty"`
	Takes     []string `json:"takes,omitempty"` // mixtures, with their digests, that stand in the image as a try
	Mixtures  int      `json:"mixtures"`        // most tried for one block
	Slip      int      `json:"slip_bits"`       // most a copy was looked for away from its place
	Blocks    int      `json:"blocks"`          // in the image
}

// A record is any further line of a lineage. Which fields count goes by its kind: words, doubt, mixture, lost, left out, decision.
type record struct {
	Kind     string          `json:"kind"`
	Block    int             `json:"block"`
	Name     string          `json:"name"`            // of the block, or of the mixture
	First    *int            `json:"first,omitempty"` // word of the data, from 0; below 0 in the header, behind the data from the count on
	Count    int             `json:"count,omitempty"`
	Rule     string          `json:"rule,omitempty"`
	Pass     string          `json:"pass,omitempty"`
	Decode   string          `json:"decode,omitempty"`   // file of the decode of that pass, where it is not the first
	Position *int            `json:"position,omitempty"` // of the block on that pass, from 0
	Passes   []string        `json:"passes,omitempty"`   // that read so
	Doubtful bool            `json:"doubtful,omitempty"`
	Readings []recordReading `json:"readings,omitempty"`
	Proved   bool            `json:"proved,omitempty"` // of a mixture: it passes
	Digest   string          `json:"digest,omitempty"` // of the words of a mixture
	Address  *uint64         `json:"address,omitempty"`
	By       string          `json:"by,omitempty"`
	On       string          `json:"on,omitempty"`
	Because  string          `json:"because,omitempty"`
	Against  string          `json:"against,omitempty"`
	What     string          `json:"what,omitempty"` // what was decided, in words
}

// A recordReading is a Reading as a lineage holds it.
type recordReading struct {
	Word   memory.Word `json:"word"`
	Text   string      `json:"text"` // in the style of the layout
	Passes []string    `json:"passes,omitempty"`
	In     []string    `json:"in,omitempty"`
}

// Image gives the bytes of the merged recording: its blocks in order, lost ones left out.
func (m *Merged) Image() []byte {
	var out []byte
	for _, b := range m.Blocks {
		if b.Raw != nil {
			out = m.Layout.AppendRaw(out, b.Raw)
		}
	}
	return out
}

// Lineage gives the lineage of the image, one JSON value a line. Of the head the files are to be filled in.
func (m *Merged) Lineage(head Head) []byte {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	write := func(v any) {
		if err := enc.Encode(v); err != nil {
			panic(err) // plain values in a buffer
		}
	}
	head.Lineage, head.Mixtures, head.Slip, head.Blocks = version, m.Bounds.Mixtures, m.Bounds.Slip, 0
	for _, b := range m.Blocks {
		if b.Raw != nil {
			head.Blocks++
		}
	}
	head.Takes = nil
	for _, d := range m.Decisions {
		if d.By == "" {
			head.Takes = append(head.Takes, d.Mixture+" "+d.Digest)
		}
	}
	slices.Sort(head.Takes)
	write(head)
	for i := range m.Decisions {
		if d := &m.Decisions[i]; d.By != "" {
			write(m.decided(d))
		}
	}
	for _, n := range m.LeftOut {
		write(record{Kind: "left out", Block: n, Name: m.Layout.BlockName(n)})
	}
	for _, b := range m.Blocks {
		for _, r := range m.records(b) {
			write(r)
		}
	}
	return out.Bytes()
}

// version is that of the notation of lineages.
const version = 1

// decided makes the record of a decision.
func (m *Merged) decided(d *Decision) record {
	return record{Kind: "decision", Block: d.Block, Name: m.Layout.BlockName(d.Block), What: m.What(d), By: d.By, On: d.On, Because: d.Because, Against: d.Against}
}

// What says what was decided, as its list does.
func (m *Merged) What(d *Decision) string {
	if d.Mixture != "" {
		return "take " + d.Mixture + " " + d.Digest
	}
	return "word " + m.Layout.Style().Number(uint64(d.Word)) + " is " + m.Layout.WordName(d.Value)
}

// records makes the records of one block.
func (m *Merged) records(b *Block) []record {
	if b.Raw == nil {
		r := record{Kind: "lost", Block: b.Number, Name: b.Name}
		if b.Addressed {
			r.Address, r.Count = &b.Addr, b.Count
		}
		return []record{r}
	}
	var all []record
	for _, r := range b.runs {
		w := m.witness(b, r)
		first, position := r.first-b.DataAt, w.Position
		out := record{Kind: "words", Block: b.Number, Name: b.Name, First: &first, Count: r.count, Rule: w.Rule, Pass: w.Pass, Decode: w.Decode,
			Passes: w.Passes, Doubtful: w.Doubtful}
		if w.Pass != "" {
			out.Position = &position
		}
		if r.decision >= 0 {
			d := &m.Decisions[r.decision]
			out.By, out.On, out.Because = d.By, d.On, d.Because
		}
		all = append(all, out)
	}
	for _, x := range b.Mixtures {
		all = append(all, record{Kind: "mixture", Block: b.Number, Name: x.Name, Count: x.Witnesses, Proved: x.Passes, Digest: x.Digest})
	}
	for _, d := range b.Doubts {
		first := d.Word
		out := record{Kind: "doubt", Block: b.Number, Name: b.Name, First: &first}
		for _, r := range d.Readings {
			out.Readings = append(out.Readings, recordReading{r.Word, m.Layout.WordName(r.Word), r.Passes, r.In})
		}
		all = append(all, out)
	}
	return all
}
