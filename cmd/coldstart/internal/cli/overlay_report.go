package cli

import (
	"fmt"
	"io"
	"strings"

	"coldstart/debug/bringup"
	"coldstart/debug/vouch"
	"coldstart/debug/watch"
	"coldstart/memory/overlay"
)

// An overlayReport is what a dump shows.
type overlayReport struct {
	heading
	Office      string             `json:"office"`
	Machine     string             `json:"machine"`
	Dump        string             `json:"dump"`
	As          string             `json:"as,omitempty"`
	Words       int                `json:"words"`
	StoreWords  int                `json:"store_words"`
	ParityRead  int                `json:"parity_read"`
	ParityRight int                `json:"parity_right"`
	DumpPath    []string           `json:"dump_path"` // what speaks against the dump itself
	Readings    []overlay.Reading  `json:"readings"`
	Areas       []areaTally        `json:"areas"`
	Differ      []differenceReport `json:"differences"`
	Bits        []bitReport        `json:"bits"`
	NotStore    bool               `json:"dump_path_first"` // nothing is blamed on the store until the dump path is settled

	laid   *overlay.Overlay
	office *bringup.Office
	typed  func(string) string
	again  string // the command itself; "" where it undoes something already
}

// An areaTally counts the words of one kind of area.
type areaTally struct {
	Kind        string `json:"kind"`
	Rule        string `json:"rule"`
	Words       int    `json:"words"`
	OnTape      int    `json:"on_tape"`
	Same        int    `json:"same"`
	Differ      int    `json:"differ"`
	NotDumped   int    `json:"on_tape_not_in_dump"`
	ParityWrong int    `json:"parity_wrong"`
}

// A differenceReport is one word that is not as on the tape.
type differenceReport struct {
	Address addressReport `json:"address"`
	Area    string        `json:"area"`
	Tape    string        `json:"tape"`
	Dump    string        `json:"dump"`
	Flips   []string      `json:"flips"`
	Parity  string        `json:"parity"`
	Source  string        `json:"source"`
	Judge   bool          `json:"for_a_person_to_judge"`
}

// A bitReport is one column of one plug-in that went one way.
type bitReport struct {
	Place   string   `json:"place"`
	From    int      `json:"tape"`
	To      int      `json:"dump"`
	Differ  int      `json:"differ"`
	Of      int      `json:"of"`
	Odds    string   `json:"odds"`
	Means   string   `json:"means"`
	Address string   `json:"address_bits"`
	At      []string `json:"at"`
}

// rules say what a difference means, in the words of the table.
var rules = map[overlay.Rule]string{
	overlay.Fixed:    "must not differ",
	overlay.Judged:   "a person has to judge",
	overlay.Unlisted: "not listed: to judge",
	overlay.Free:     "expected; not searched",
}

// fill puts what was found into the report.
func (r *overlayReport) fill() {
	o := r.laid
	r.Words, r.StoreWords, r.ParityRead, r.ParityRight = o.Words, o.StoreWords, o.ParityRead, o.ParityRight
	r.Readings, r.NotStore = o.Readings, o.First()
	r.DumpPath, r.Areas, r.Differ, r.Bits = []string{}, []areaTally{}, []differenceReport{}, []bitReport{}
	for _, s := range o.Suspicions {
		r.DumpPath = append(r.DumpPath, s.Text)
	}
	for _, t := range o.Tallies {
		r.Areas = append(r.Areas, areaTally{t.Kind, rules[t.Rule], t.Words, t.OnTape, t.Compared - t.Differ, t.Differ, t.OnTape - t.Compared, t.BadRead})
	}
	for i := range o.Differences {
		r.Differ = append(r.Differ, r.difference(&o.Differences[i]))
	}
	for i := range o.Groups {
		g := &o.Groups[i]
		b := bitReport{Place: o.Place(g), From: g.From, To: 1 - g.From, Differ: len(g.Addrs), Of: g.Of, Odds: o.Odds(g), Means: o.Means(g), Address: o.Address(g)}
		for _, a := range g.Addrs {
			b.At = append(b.At, o.Geometry.Style.Addr(a, o.Geometry.AddrBits))
		}
		r.Bits = append(r.Bits, b)
	}
}

// difference is one word as it is told of.
func (r *overlayReport) difference(d *overlay.Difference) differenceReport {
	g := &r.laid.Geometry
	out := differenceReport{
		Address: addressReport{uint64(d.Addr), g.Style.Addr(d.Addr, g.AddrBits)}, Area: d.Part.Kind,
		Tape: g.Style.Word(d.Tape, d.Area.Width), Dump: g.Style.Word(d.Dump, d.Area.Width),
		Flips: r.laid.Flips(d), Parity: d.Says(), Source: r.office.Source(d.Origin), Judge: d.Part.Rule != overlay.Fixed,
	}
	if d.Part.Name != "" {
		out.Area += " " + d.Part.Name
	}
	return out
}

// print prints it for a person: first what speaks against the dump, then the areas, the words, the bits.
func (r *overlayReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("%s, on machine %s: %s over the tape image", r.Office, r.Machine, r.Dump))
	if r.As != "" {
		fold(w, "", "Undone, as asked for: "+r.As+". The file is as it was.")
	}
	parity := "no parity in it"
	if r.ParityRead > 0 {
		parity = fmt.Sprintf("parity right in %d of %d", r.ParityRight, r.ParityRead)
	}
	fold(w, "", fmt.Sprintf("The dump has %s; the store has %d; %s.", amount(r.Words, "word"), r.StoreWords, parity))
	r.path(w)
	const row = "%-11s%7v%9v%7v%8v%14v  %s"
	fmt.Fprintf(w, "\n"+row+"\n", "area", "words", "on tape", "same", "differ", "parity wrong", "note")
	for _, t := range r.Areas {
		bad := "-"
		if r.laid.ParityUsed() {
			bad = fmt.Sprint(t.ParityWrong)
		}
		fmt.Fprintf(w, row+"\n", t.Kind, t.Words, t.OnTape, t.Same, t.Differ, bad, t.Rule)
	}
	for _, t := range r.Areas {
		if t.NotDumped > 0 {
			fold(w, "", fmt.Sprintf("Of %s of %s on the tape %d are not in the dump.", amount(t.OnTape, "word"), t.Kind, t.NotDumped))
		}
	}
	if r.NotStore {
		fmt.Fprintln(w, "\nThe words are not told of one by one, for the dump itself is suspected.")
		return
	}
	r.words(w)
	r.bits(w)
	if r.Verdict == watch.Good.String() {
		fmt.Fprintln(w)
		fold(w, "", "Nothing in this dump contradicts the tape image, as far as the two can be held together.")
	}
	r.cautions(w)
}

// path prints what speaks against the dump, and how the other ways to read it fit.
func (r *overlayReport) path(w io.Writer) {
	if len(r.DumpPath) == 0 {
		fold(w, "", r.tried())
		return
	}
	section(w, "the dump itself, before the store", r.DumpPath)
	fold(w, "  ", r.tried())
}

// tried says which other readings were tried, and how well the best of them fit.
func (r *overlayReport) tried() string {
	const few = 3
	asIs := r.Readings[0]
	text := fmt.Sprintf("Of %s %s %d are alike as the dump is", amount(asIs.Of, "word"), r.laid.Searched, asIs.Alike)
	if r.laid.PathBits != 0 {
		text += " but for the bits alike everywhere"
	}
	told := 0
	for _, o := range r.Readings[1:] {
		if o.Line || told == few { // an address line moves few words: all others are alike both ways
			continue
		}
		told++
		text += fmt.Sprintf("; %s: %d", o.Name, o.Alike)
	}
	return text + "."
}

// mostDiffer is how many words of a kind are printed; JSON has them all.
const mostDiffer = 12

// words prints the words that differ: those that must not, then those for a person to judge.
func (r *overlayReport) words(w io.Writer) {
	for _, part := range []struct {
		title string
		judge bool
	}{{"differ and must not", false}, {"differ, for a person to judge", true}} {
		n := 0
		for _, d := range r.Differ {
			if d.Judge != part.judge {
				continue
			}
			if n++; n == 1 {
				fmt.Fprintf(w, "\n%s:\n", part.title)
			}
			if n <= mostDiffer {
				fold(w, "  ", fmt.Sprintf("%s  tape %s  dump %s  %s", d.Address.Text, d.Tape, d.Dump, d.Area))
				fold(w, "    ", strings.Join(d.Flips, "; "))
				fold(w, "    ", d.Parity)
				fold(w, "    ", d.Source)
			}
		}
		if n > mostDiffer {
			fmt.Fprintf(w, "  and %d more, which --json lists\n", n-mostDiffer)
		}
	}
}

// bits prints the odds of every column that went wrong.
func (r *overlayReport) bits(w io.Writer) {
	if len(r.Bits) == 0 {
		return
	}
	fmt.Fprintln(w, "\nthe odds, to be counted again:")
	for i, b := range r.Bits {
		if i == mostDiffer {
			fmt.Fprintf(w, "  and %d more, which --json lists\n", len(r.Bits)-mostDiffer)
			break
		}
		fold(w, "  ", b.Odds)
		fold(w, "    ", "-> "+b.Means)
		fold(w, "    ", b.Address)
	}
}

// cautions are for whoever goes from this paper to live plant.
func (r *overlayReport) cautions(w io.Writer) {
	if r.Verdict != watch.Trouble.String() {
		return
	}
	fmt.Fprintln(w, "\nBefore anybody touches the plant:")
	for _, c := range vouch.Cautions() {
		fold(w, "  ", c)
	}
}
