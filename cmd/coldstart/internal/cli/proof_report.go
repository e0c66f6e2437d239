package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"coldstart/cpu/order"
	"coldstart/cpu/order/proof"
	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A proofReport says what is wrong or doubtful in a machine file.
type proofReport struct {
	heading
	Machine  string         `json:"machine"`  // as the file names it
	Orders   int            `json:"orders"`   // typed, as far as they can be read
	Replaced int            `json:"replaced"` // statements that addenda replace
	Examples int            `json:"examples"`
	Findings []proofFinding `json:"findings"`
	Holes    []proofHole    `json:"holes"`
	LeftOut  []string       `json:"left_out"` // blocks that are not in the image, and why
	Image    *proofImage    `json:"image,omitempty"`
	Counted  string         `json:"bits_counted,omitempty"` // of the drawings: from which end, and from 0 or 1
	Drawings []proofDrawing `json:"drawings,omitempty"`

	file  string  // its name
	whole bool    // it can be used as it is
	next  bool    // what to look up next is listed
	left  []error // of blocks that are not in the image
}

// A proofFinding is one thing to look at in the file.
type proofFinding struct {
	Line    int      `json:"line"`
	Column  int      `json:"column,omitempty"`
	Page    string   `json:"page"`
	Kind    string   `json:"kind"`
	Trouble bool     `json:"trouble"`
	Text    string   `json:"text"`
	Ruler   []string `json:"ruler,omitempty"` // where a pattern is wrong: bit numbers downwards, and the pattern below them
}

// A proofHole is a run of words that no order reads.
type proofHole struct {
	Drawing string `json:"drawing"`
	Words   uint64 `json:"words"`
	Example string `json:"example"`
	Near    string `json:"near,omitempty"` // the order that reads others of these words
}

// A proofImage is how a program fares under the order code.
type proofImage struct {
	Entries []string     `json:"entries"`
	Loaded  int          `json:"loaded"`
	Taken   int          `json:"taken"`
	Beyond  int          `json:"not_loaded"` // places come to that hold no word
	Wild    int          `json:"stores_anywhere"`
	Halts   int          `json:"halts"`
	Passed  int          `json:"halts_passed"`
	Stuck   int          `json:"no_order_past_a_halt"`
	Cut     bool         `json:"cut_short"`
	Lines   []proofLine  `json:"lines"`
	Never   []string     `json:"never_met"`
	Unread  []proofWord  `json:"unread"`
	Stores  []proofStore `json:"stores_into_program"`
}

// A proofLine is the evidence for and against one line of the machine file.
type proofLine struct {
	Line    int    `json:"line"`
	Page    string `json:"page"`
	Order   string `json:"order"`
	Met     int    `json:"met"`
	Jumps   int    `json:"jumps"`
	Bad     int    `json:"bad"` // jumps that end where no order is; the sum of the next three
	Outside int    `json:"not_loaded"`
	NoOrder int    `json:"no_order"`
	Data    int    `json:"no_program"`
	Into    int    `json:"no_order_follows"`
	Unknown int    `json:"unknown"`
	First   string `json:"first_bad,omitempty"`
	Against bool   `json:"against"`
}

// A proofWord is a run of words the program comes to and no order reads.
type proofWord struct {
	Drawing string `json:"drawing"`
	Word    string `json:"word"`
	Address uint64 `json:"address"`
	At      string `json:"at"`
	Way     string `json:"way"`
	Orders  int    `json:"orders_from_entry"`
	Places  int    `json:"places"`
	InImage int    `json:"in_image"`
	LookUp  string `json:"look_up"`
}

// A proofStore is an order that stores into a word taken as an order.
type proofStore struct {
	Order string `json:"order"`
	At    string `json:"at"`
	Into  string `json:"into"`
	Over  string `json:"over"`
}

// fill takes over what the file shows by itself.
func (r *proofReport) fill(name string, found *proof.Report) {
	r.file, r.Orders, r.Replaced, r.Examples = name, found.Orders, found.Replaced, found.Checks
	r.Machine, r.whole = found.Name, found.Code != nil
	r.Findings, r.Holes, r.LeftOut = []proofFinding{}, []proofHole{}, nil
	for _, f := range found.Findings {
		r.Findings = append(r.Findings, proofFinding{
			Line: f.Line, Column: f.Column, Page: f.Page, Kind: f.Kind.String(), Trouble: f.Kind.Trouble(), Text: f.Text, Ruler: f.Ruler,
		})
	}
	for _, h := range found.Holes {
		hole := proofHole{Drawing: found.Drawing(h), Words: h.Words, Example: found.Style.Word(h.Example, found.Width)}
		if h.Near != nil {
			hole.Near = h.Near.Name
		}
		r.Holes = append(r.Holes, hole)
	}
}

// against takes over what an image shows.
func (r *proofReport) against(code *order.Code, x *proof.Exploration) {
	at := func(a memory.Addr) string { return code.Geometry.Style.Addr(a, code.PlaceBits()) }
	m := &proofImage{
		Entries: []string{}, Loaded: x.Loaded, Taken: x.Taken, Beyond: x.Beyond, Wild: x.Wild, Halts: x.Halts, Passed: x.Passed, Stuck: x.Stuck, Cut: x.Cut,
		Lines: []proofLine{}, Never: []string{}, Unread: []proofWord{}, Stores: []proofStore{},
	}
	for _, e := range x.Entries {
		m.Entries = append(m.Entries, at(e.Place)+" ("+e.Name+")")
	}
	for _, t := range x.Tallies {
		line := proofLine{
			Line: t.Order.Line, Page: t.Order.Page, Order: t.Order.Name, Met: t.Places, Jumps: t.Jumps, Bad: t.Bad(), Outside: t.Outside,
			NoOrder: t.NoOrder, Data: t.Data, Into: t.Into, Unknown: t.Unknown, Against: t.Against(),
		}
		if t.Example != nil {
			line.First = at(t.Example.From) + " to " + at(t.Example.To)
		}
		m.Lines = append(m.Lines, line)
	}
	for _, o := range x.Never {
		m.Never = append(m.Never, o.Name)
	}
	for _, u := range x.Unread {
		m.Unread = append(m.Unread, proofWord{
			Drawing: u.Drawing(code), Word: code.Geometry.Style.Word(u.Word, code.OrderWidth()), Address: uint64(u.Place), At: at(u.Place),
			Way: u.Way, Orders: u.Distance, Places: u.Places, InImage: u.InImage, LookUp: u.LookUp(code),
		})
	}
	for _, s := range x.Stores {
		m.Stores = append(m.Stores, proofStore{Order: s.Order.Name, At: at(s.From), Into: code.Geometry.Style.Addr(s.To, code.Geometry.AddrBits), Over: s.Over.Name})
	}
	r.Image = m
}

// settle gives the verdict, and says where to look and what to do.
func (r *proofReport) settle(found *proof.Report, next bool) {
	r.next = next
	r.judge(watch.Good)
	if found.Has(proof.Doubted) || found.Has(proof.NotTried) || r.Image != nil && (len(r.Image.Unread) > 0 || r.Image.Cut) {
		r.judge(watch.Undecided)
	}
	for _, f := range r.Findings {
		if f.Trouble {
			r.judge(watch.Trouble)
			r.LookAt = append(r.LookAt, fmt.Sprintf("line %d%s: %s", f.Line, onPage(f.Page), f.Text))
		}
	}
	if r.Image != nil {
		r.blame()
	}
	switch {
	case found.Trouble():
		r.ToSettle = append(r.ToSettle, "hold these lines against their pages, put them right, and run this again")
	case r.Image != nil && len(r.Image.Unread) > 0 && r.Verdict != watch.Trouble.String(): // a jump gone wrong comes to words that mean nothing
		u := r.Image.Unread[0]
		r.LookAt = append(r.LookAt, fmt.Sprintf("%s at %s, which no order reads: %s", u.Word, u.At, u.Way))
		r.ToSettle = append(r.ToSettle, fmt.Sprintf("look up %s, then run this again", u.LookUp))
	}
	if r.Verdict == watch.Undecided.String() {
		for _, f := range found.Findings {
			if f.Kind == proof.Doubted || f.Kind == proof.NotTried {
				r.LookAt = append(r.LookAt, fmt.Sprintf("line %d%s: %s", f.Line, onPage(f.Page), f.Text))
			}
		}
	}
	r.LookAt = firstOf(r.LookAt)
}

// blame names the lines that the image speaks strongly against.
func (r *proofReport) blame() {
	for _, l := range r.Image.Lines {
		if !l.Against {
			continue
		}
		r.judge(watch.Trouble)
		if l.Bad > 0 {
			r.LookAt = append(r.LookAt, fmt.Sprintf("line %d%s: %s, %d of %d jumps end where no order is, the first from %s", l.Line, onPage(l.Page), l.Order, l.Bad, l.Jumps, l.First))
			r.ToSettle = append(r.ToSettle, fmt.Sprintf("check the sign and the width of what %s jumps by, and what it counts from%s", l.Order, onPage(l.Page)))
		} else {
			r.LookAt = append(r.LookAt, fmt.Sprintf("line %d%s: %s, no order follows it in %d of %d places", l.Line, onPage(l.Page), l.Order, l.Into, l.Met))
			r.ToSettle = append(r.ToSettle, fmt.Sprintf("check how many words %s has, and whether it goes on%s", l.Order, onPage(l.Page)))
		}
	}
}

// onPage names the page of the handbook, where there is one.
func onPage(page string) string {
	if page == "" {
		return ""
	}
	return ", page " + page
}

// mostLooks is how many places a report tells a person to look at.
const mostLooks = 10

// firstOf gives the first of many lines, and says how many there are besides.
func firstOf(lines []string) []string {
	if len(lines) <= mostLooks {
		return lines
	}
	return append(lines[:mostLooks:mostLooks], fmt.Sprintf("and %d more", len(lines)-mostLooks))
}

func (r *proofReport) print(w io.Writer) {
	came := amount(r.Examples, "example") + " came out right"
	if !r.whole {
		came = "examples wait until it can be used"
	}
	replaced := ""
	if r.Replaced > 0 {
		replaced = fmt.Sprintf("%d replaced, ", r.Replaced)
	}
	fold(w, "", fmt.Sprintf("%s: machine %s", r.file, r.Machine))
	fmt.Fprintf(w, "%s read, %s%s\n", amount(r.Orders, "order"), replaced, came)
	for _, f := range r.Findings {
		place := fmt.Sprintf("%d", f.Line)
		if f.Column > 0 {
			place += fmt.Sprintf(":%d", f.Column)
		}
		page := f.Page
		if page != "" {
			page = "p " + page
		}
		fmt.Fprintln(w, list.Fold(fmt.Sprintf("%-7s %-7s %s: %s", place, page, f.Kind, list.Safe(f.Text)), strings.Repeat(" ", 16)))
		for _, line := range f.Ruler {
			fmt.Fprintln(w, strings.TrimRight("        "+line, " "))
		}
	}
	fold(w, "", r.Counted)
	for i := range r.Drawings {
		r.Drawings[i].print(w)
	}
	if r.Drawings == nil {
		r.printHoles(w)
	}
	if r.Image != nil {
		r.Image.print(w, r.next)
	}
	for _, line := range leftOut(r.left) {
		fold(w, "", "left out: "+line)
	}
}

// mostHoles is how many runs of unread words a report prints. JSON has them all.
const mostHoles = 40

// printHoles lists the words that no order reads.
func (r *proofReport) printHoles(w io.Writer) {
	if len(r.Holes) == 0 {
		return
	}
	fmt.Fprintf(w, "\nWords that no order reads, by how they begin (* is 0 or 1):\n")
	if wide := len(r.Holes[0].Drawing) > 45; wide {
		r.listHoles(w)
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  begin\twords\tsuch as\tthe others so begun are")
	for _, h := range r.Holes[:min(len(r.Holes), mostHoles)] {
		row := fmt.Sprintf("  %s\t%d\t%s", h.Drawing, h.Words, h.Example)
		if h.Near != "" {
			row += "\t" + h.Near
		}
		fmt.Fprintln(t, row)
	}
	t.Flush()
	r.moreHoles(w)
}

// listHoles lists them where drawings are too wide for a table.
func (r *proofReport) listHoles(w io.Writer) {
	for _, h := range r.Holes[:min(len(r.Holes), mostHoles)] {
		said := fmt.Sprintf("%d words, such as %s", h.Words, h.Example)
		if h.Near != "" {
			said += "; the others so begun are " + h.Near
		}
		fmt.Fprintln(w, h.Drawing) // 64 bits and their blanks leave no room to set it in
		fold(w, "      ", said)
	}
	r.moreHoles(w)
}

// moreHoles says how many were not listed.
func (r *proofReport) moreHoles(w io.Writer) {
	if more := len(r.Holes) - mostHoles; more > 0 {
		fmt.Fprintf(w, "  and %s more\n", amount(more, "run"))
	}
}

// print prints what the image shows; next adds what to look up.
func (m *proofImage) print(w io.Writer, next bool) {
	fmt.Fprintf(w, "\nAgainst the image: %s loaded, %d taken as orders\n", amount(m.Loaded, "word"), m.Taken)
	wrap(w, "begun at:", m.Entries)
	if m.Cut {
		fmt.Fprintln(w, "There is more than could be followed.")
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "line\tpage\tmet\tjumps\tfor\tagainst\tunknown\tno order follows\t  order\n")
	for _, l := range m.Lines {
		if l.Jumps+l.Unknown+l.Into == 0 {
			continue
		}
		remark := ""
		if l.Against {
			remark = "  <- look here"
		}
		fmt.Fprintf(t, "%d\t%s\t%d\t%d\t%d\t%d\t%d\t%d\t  %s%s\n", l.Line, l.Page, l.Met, l.Jumps, l.Jumps-l.Bad, l.Bad, l.Unknown, l.Into, l.Order, remark)
	}
	t.Flush()
	if len(m.Never) > 0 {
		wrap(w, "never met:", m.Never)
	}
	fmt.Fprintf(w, "places come to that hold no word: %d; orders that store where only a run can tell: %d; ends at a trap or a halt for good: %d\n", m.Beyond, m.Wild, m.Halts)
	if m.Passed > 0 {
		fmt.Fprintf(w, "halts that the resume key can pass: %d; places past them where no order stands: %d\n", m.Passed, m.Stuck)
	}
	for _, s := range m.Stores {
		fmt.Fprintf(w, "store into program: %s at %s stores into %s, taken as %s\n", s.Order, s.At, s.Into, s.Over)
	}
	for _, u := range m.Unread {
		fmt.Fprintf(w, "no order reads %s: met in %s, %s of the image begin so\n", u.Drawing, amount(u.Places, "place"), amount(u.InImage, "word"))
	}
	if next {
		m.printNext(w)
	}
}

// printNext lists what to look up, the nearest first.
func (m *proofImage) printNext(w io.Writer) {
	if len(m.Unread) == 0 {
		fmt.Fprint(w, "\nNext to look up: nothing; the program comes to no word that no order reads\n")
		return
	}
	fmt.Fprint(w, "\nNext to look up, the nearest to the entry first:\n")
	for i, u := range m.Unread {
		fmt.Fprintf(w, "%3d  %s at %s: %s, %s from the entry\n     look up %s; %s of the image begin so\n",
			i+1, u.Word, u.At, u.Way, amount(u.Orders, "order"), u.LookUp, amount(u.InImage, "word"))
	}
}
