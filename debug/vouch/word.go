package vouch

import (
	"fmt"
	"strings"

	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/loader/list"
	"coldstart/loader/splice"
	"coldstart/memory"
)

// A Word is one that the lineage of a merged recording leaves doubtful, and what the run did with it.
type Word struct {
	Place    string   `json:"place"`             // block and word, as in 031/112
	Address  string   `json:"address,omitempty"` // in store
	Use      string   `json:"use"`
	Readings []string `json:"readings"` // each with the passes that have it
}

// The uses of a doubtful word, on paper.
const (
	useRun   = "RUN"
	useRead  = "READ AS DATA"
	useIdle  = "never touched"
	useStore = "not in store"
	useFrame = "of the head or sum of its block"
)

// lineages states what the lineages of merged recordings say: words left doubtful, blocks lost, what people decided.
func (m maker) lineages() {
	sources := m.report.Record.Sources()
	for _, t := range m.office.Tapes {
		if t.Lineage == nil {
			continue
		}
		m.Merged = true
		for _, d := range t.Lineage.Doubtful() {
			m.Doubtful = append(m.Doubtful, m.word(t, d, sources))
		}
		for _, n := range t.Lineage.Lost() {
			m.Lost = append(m.Lost, fmt.Sprintf("block %s on %s is whole in no pass, and nothing stands for it", t.Recording.Layout.BlockName(n), t.Channel.Name))
		}
		for _, d := range t.Lineage.Decisions() {
			m.Decisions = append(m.Decisions, list.Safe(d))
		}
		for _, x := range t.Lineage.Head.Takes {
			m.Decisions = append(m.Decisions, fmt.Sprintf("mixture %s stands in the image as a try: nobody has decided for it", list.Safe(x)))
		}
	}
}

// word states what the run did with one doubtful word.
func (m maker) word(t bringup.Tape, d splice.Doubt, sources map[memory.Origin]trail.Use) Word {
	w := Word{Place: fmt.Sprintf("%s/%s", list.Safe(d.Block), m.office.Code.Geometry.Style.Number(uint64(max(d.Word, 0)))), Use: useFrame}
	for _, r := range d.Readings {
		said := t.Recording.Layout.WordName(r.Word)
		if len(r.Passes) > 0 {
			said += " by " + strings.Join(r.Passes, ", ")
		}
		w.Readings = append(w.Readings, list.Safe(said))
	}
	for _, b := range t.Recording.Blocks {
		if b.Number != d.Number || d.Word < 0 || d.Word >= len(b.Words) {
			continue
		}
		use, stood := sources[b.From(d.Word)]
		switch {
		case use&trail.Run != 0:
			w.Use = useRun
		case use&trail.Read != 0:
			w.Use = useRead
		case stood:
			w.Use = useIdle
		default:
			w.Use = useStore
		}
		if b.Addressed {
			w.Address = m.addr(b.Addr + memory.Addr(d.Word))
		}
		return w
	}
	if d.Word < 0 {
		w.Place = list.Safe(d.Block) + "/head"
	}
	return w
}

// met tells whether the run could have gone otherwise with another reading of the word.
func (w Word) met() bool { return w.Use == useRun || w.Use == useRead }

// words prints the words left doubtful, and what was decided.
func (s *Sheet) words(p *paper) {
	p.part("WORDS THAT NOBODY IS SURE OF")
	for _, w := range s.Doubtful {
		text := w.Place
		if w.Address != "" {
			text += " for " + w.Address
		}
		p.fold("  ", "      ", fmt.Sprintf("%s  %s: %s", text, w.Use, strings.Join(w.Readings, "; ")))
	}
	switch {
	case len(s.Doubtful) > 0:
	case s.Merged:
		p.line("None: the lineage leaves no word doubtful.")
	default:
		p.fold("", "  ", "No lineage lies beside the recording: nobody has said which of its words are doubtful.")
	}
	p.all("Blocks lost", "", s.Lost)
	p.all("Decided by people", "nothing", s.Decisions)
}

// left sums up the words left doubtful, for the top of the sheet.
func (s *Sheet) left() string {
	switch {
	case !s.Merged:
		return "no lineage says"
	case len(s.Doubtful) == 0:
		return "none"
	}
	const most = 4
	var all []string
	for _, w := range s.Doubtful[:min(most, len(s.Doubtful))] {
		all = append(all, w.Place+" "+w.Use)
	}
	more := ""
	if n := len(s.Doubtful) - most; n > 0 {
		more = fmt.Sprintf(", and %d more below", n)
	}
	return fmt.Sprintf("%d (%s%s)", len(s.Doubtful), strings.Join(all, ", "), more)
}
