package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/debug/vouch"
	"coldstart/debug/watch"
)

// A readbackReport says what a drive would serve.
type readbackReport struct {
	heading
	Served  string   `json:"served"`
	Vouched string   `json:"vouched"`
	Channel string   `json:"channel"`
	Sheet   string   `json:"sheet,omitempty"`
	Alike   bool     `json:"files_alike"` // byte for byte
	Mode    string   `json:"mode"`        // of the file served, as the host lists it
	Locked  bool     `json:"write_locked"`
	Notes   []string `json:"notes"`
	*vouch.Readback

	drive func(cpu.Time) string
}

// trouble notes what is wrong, and how it is settled.
func (r *readbackReport) trouble(look, settle string) {
	r.judge(watch.Trouble)
	r.lead(look, settle)
}

// undecided notes what leaves it open, and how it is settled.
func (r *readbackReport) undecided(look, settle string) {
	if r.status == exitGood {
		r.judge(watch.Undecided)
	}
	r.lead(look, settle)
}

// lead adds where to look, and how to settle it unless that is said already.
func (r *readbackReport) lead(look, settle string) {
	r.LookAt = append(r.LookAt, look)
	if !slices.Contains(r.ToSettle, settle) {
		r.ToSettle = append(r.ToSettle, settle)
	}
}

// note adds a line that needs nothing done.
func (r *readbackReport) note(line string) { r.Notes = append(r.Notes, line) }

// fewBlocks is how many blocks a verdict leads to.
const fewBlocks = 3

// blame leads to the blocks that are not as vouched for; those that are so in one way are led to at once.
func (r *readbackReport) blame(path string) {
	all := r.groups()
	for i, g := range all {
		if i == fewBlocks {
			r.LookAt = append(r.LookAt, "and "+amount(len(all)-fewBlocks, "more difference"))
			break
		}
		r.trouble(path+": "+g.says(), "write the vouched image to the drive again, read it back, and compare that")
	}
}

// A group is blocks that are served otherwise in one way.
type group []vouch.Difference

// fewAlike is from how many blocks on one trouble is said once for all of them.
const fewAlike = 3

// groups puts the differences together that say the same of at least so many blocks, each where the first of them stands.
func (r *readbackReport) groups() []group {
	count := map[string]int{}
	for _, d := range r.Differ {
		count[d.Text]++
	}
	var all []group
	at := map[string]int{}
	for _, d := range r.Differ {
		if i, begun := at[d.Text]; begun && count[d.Text] >= fewAlike {
			all[i] = append(all[i], d)
			continue
		}
		at[d.Text] = len(all)
		all = append(all, group{d})
	}
	return all
}

// mostNamed is how many blocks of a group are named.
const mostNamed = 10

// says says it of all blocks of a group.
func (g group) says() string {
	if len(g) == 1 {
		return served(g[0].Block) + ": " + g[0].Text
	}
	var names []string
	for _, d := range g[:min(len(g), mostNamed)] {
		names = append(names, d.Block)
	}
	more := ""
	if len(g) > mostNamed {
		more = fmt.Sprintf(" and %d more", len(g)-mostNamed)
	}
	return fmt.Sprintf("each of %d blocks, %s%s: %s", len(g), strings.Join(names, ", "), more, g[0].Text)
}

// served names what is served.
func served(name string) string {
	switch name {
	case vouch.NoBlock:
		return "what reads as no block"
	case vouch.FileMark:
		return "a file mark"
	}
	return "block " + name
}

// lock says whether the host would let anybody write the file.
func (r *readbackReport) lock(served input) {
	const anybody = 0o222
	r.Locked = served.file == nil || served.file.Mode().Perm()&anybody == 0
	if served.file != nil {
		r.Mode = served.file.Mode().String()
	}
	if !r.Locked {
		r.undecided(fmt.Sprintf("the write lock: %s may be written (%s), so it need not be the same tomorrow", r.Served, r.Mode),
			"take away the right to write it, as in `chmod a-w "+shellWord(r.Served)+"`, and compare again")
	}
	r.note("The lock of the drive itself no program can see: somebody has to look at it.")
}

// another says that what is served is another of the files at hand, which are not what was vouched for: the wrong tape was
// taken.
func (r *readbackReport) another(served input, all []input) {
	for _, in := range all {
		if !r.Alike && in.SHA256 == served.SHA256 && in.Path != served.Path {
			r.wrongTape(in.Path)
		}
	}
	if !r.Alike && len(r.Differ) == 0 {
		r.undecided(fmt.Sprintf("%s: its bytes are not those of %s, though no word of a block is another", r.Served, r.Vouched), "compare the two files byte by byte, and read the image back from the drive once more")
	}
}

// wrongTape says that what is served is known, and not what it should be.
func (r *readbackReport) wrongTape(is string) {
	r.trouble(fmt.Sprintf("%s: it is %s, byte for byte, and not %s", r.Served, is, r.Vouched), "see which tape was put in: the original must not be in the drive")
}

func (r *readbackReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("%s, as the drive on %s would serve it, against %s", r.Served, r.Channel, r.Vouched))
	fmt.Fprintln(w)
	if r.Alike {
		fmt.Fprintln(w, "The two files are alike, byte for byte.")
	} else {
		fmt.Fprintln(w, "The two files are not the same bytes.")
	}
	fold(w, "", fmt.Sprintf("The machine would get %s in %s, heads and sums included, from %s to %s.", amount(r.Words, "word"), amount(r.Blocks, "block"), r.drive(r.First), r.drive(r.Last)))
	var gaps []string
	for _, g := range r.Gaps {
		gaps = append(gaps, fmt.Sprintf("%s (%d)", r.drive(g.Length), g.Count))
	}
	if len(gaps) > 0 {
		fold(w, "", "From the last word of a block to the first of the next: "+strings.Join(gaps, ", ")+".")
	}
	r.differences(w)
	for _, n := range r.Notes {
		fold(w, "", n)
	}
}

// mostWords is how many altered words of a block are listed.
const mostWords = 8

// differences lists what is served otherwise.
func (r *readbackReport) differences(w io.Writer) {
	if len(r.Differ) == 0 {
		fold(w, "", "Block by block it is what was vouched for: none missing, none added, all in order, no word altered.")
		return
	}
	fmt.Fprintln(w, "\nnot as vouched for:")
	for _, g := range r.groups() {
		d := g[0]
		fold(w, "  ", g.says())
		if len(g) > 1 && len(d.Words) > 0 {
			fold(w, "  ", "as in block "+d.Block+":")
		}
		for i, a := range d.Words {
			if i == mostWords {
				fmt.Fprintf(w, "    and %s more\n", amount(len(d.Words)-i, "word"))
				break
			}
			place := a.Word
			if a.Address != "" {
				place = fmt.Sprintf("word %s, for %s", a.Word, a.Address)
			}
			fold(w, "    ", fmt.Sprintf("%s: vouched %s, served %s", place, a.Vouched, a.Served))
		}
	}
	if r.Hint != "" {
		fold(w, "", r.Hint+".")
	}
	fmt.Fprintln(w)
}
