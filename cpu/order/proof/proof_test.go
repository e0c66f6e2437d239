package proof_test

import (
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/order/proof"
	"coldstart/memory"
)

// small is a machine file that nothing is wrong with; tests put lines in the places of its remarks.
const small = `machine   "Small"
numbers   octal, bit 0 at right
word      8 bits, twos complement
address   8 bits
counter   P: 8 bits, holds next order
register  A, B: 8 bits
flip-flop zero
store     S0 000-177: 8 bits
# head
group     r: 0 A, 1 B
order     load r, n           page 1-1
  pattern 10 r nnnnn
  does    r <- extend(n, 8)
          zero <- n = 0
  check   "10 0 00101" reads "load A, 5"
  check   A = 0, zero = 1 : A = 5, zero = 0
# load
order     add r               page 1-2
  pattern 1111 000 r
  does    r <- add(A, B)
# add
order     jump d              page 1-3
  pattern 110 ddddd
  does    P <- P + sign(d, 8)
order     halt                page 1-4
  pattern 0000 0000
  does    halt
# end
`

// smallWith is the small machine file with lines after a remark.
func smallWith(remark, lines string) string {
	return strings.Replace(small, "# "+remark+"\n", "# "+remark+"\n"+lines+"\n", 1)
}

// lines gives findings as `line kind page: text`.
func lines(r *proof.Report) []string {
	var all []string
	for _, f := range r.Findings {
		all = append(all, fmt.Sprintf("%d %v %s: %s", f.Line, f.Kind, f.Page, f.Text))
	}
	return all
}

func TestRead(t *testing.T) {
	tests := []struct {
		name, file string
		want       []string
	}{
		{"nothing", small, nil},
		{"overlap", smallWith("end", "order again page 2-1\n pattern 1111 0001\n does"), []string{
			"29 wrong 2-1: orders add (line 18) and again both read word 361: one pattern is mistyped, or too wide"}},
		{"width slip hides no overlap", strings.Replace(smallWith("end", "order again page 2-1\n pattern 1111 0001\n does"), "extend(n, 8)", "n", 1), []string{
			"13 wrong 1-1: r has 8 bits but n has 5 bits: write `extend(n, 8)`, `sign(n, 8)` or `cut(r, 5)`",
			"29 wrong 2-1: orders add (line 18) and again both read word 361: one pattern is mistyped, or too wide"}},
		{"two slips in one order", strings.Replace(small, "r <- extend(n, 8)\n          zero <- n = 0", "r <- n\n          nil <- n = 0", 1), []string{
			"13 wrong 1-1: r has 8 bits but n has 5 bits: write `extend(n, 8)`, `sign(n, 8)` or `cut(r, 5)`",
			"14 wrong 1-1: there is no let, field or register nil; known are r, n, P, A, B, zero, here"}},
		{"a slip outside orders", smallWith("head", "register C: 65 bits"), []string{
			"10 wrong : the width of a register is 65, but must be a decimal number from 1 to 64"}},
		{"count", smallWith("head", "declares 5 orders page 0-1"), []string{
			"10 count differs 0-1: the handbook declares 5 orders, but 4 are typed: look for one left out or typed twice"}},
		{"count of a group", smallWith("head", "declares 2 orders of 1111****"), []string{
			"10 count differs : the handbook has 2 orders that begin with 11 11* ***, but 1 are typed"}},
		{"example by text", smallWith("add", `  check "1111 0001" reads "add A"`), []string{
			"22 example does not come out 1-2: it reads \"add B\", but should read \"add A\""}},
		{"example by values", smallWith("load", `  check A = 1 : A = 6, zero = 0`), []string{
			"18 example does not come out 1-1: order load: A is 005, not 006"}},
		{"example on what nothing set", smallWith("load", `  check A = 1 : B = 1`), []string{
			"18 example does not come out 1-1: order load: B is 245, not 001"}},
		{"example without a word", smallWith("add", `  check A = 1, B = 2 : A = 3`), []string{
			"22 example not tried 1-2: which word of order add is meant? Put an example above it that says how the word reads"}},
		{"no page", smallWith("end", "order again\n pattern 1110 0001\n does"), []string{
			"29 no page named : order again names no page of the handbook"}},
		{"doubt", smallWith("end", "order again page 2-2 ?\n pattern 1110 0001\n does A <- B ?"), []string{
			"29 in doubt 2-2: marked with a ?", "31 in doubt 2-2: does is marked with a ?"}},
		{"silent handbook and unreadable page", smallWith("end", "order again page 2-2\n pattern 1110 ?001\n unknown"), []string{
			"29 in doubt 2-2: what order again does is unknown: a run stops there",
			"29 in doubt 2-2: the handbook is silent on bits of order again"}},
		{"letter nobody draws", smallWith("head", "choice x: 0 no, 1 yes"), []string{
			"10 nothing reaches it : no pattern draws the letter of choice x"}},
		{"mode nobody names", smallWith("head", "mode far\n does let at = A"), []string{
			"10 nothing reaches it : no order names mode far"}},
		{"register nobody uses", smallWith("head", "register C, D: 8 bits page 1-9"), []string{
			"10 nothing reaches it 1-9: nothing reads or sets C", "10 nothing reaches it 1-9: nothing reads or sets D"}},
		{"trap nobody springs", smallWith("head", "trap odd \"an odd place\"\n does halt\ntrap parity \"wrong\"\n does halt"), []string{
			"10 nothing reaches it : nothing springs trap odd: no order, timer or interrupt names it",
			"12 nothing reaches it : nothing springs trap parity: no store has parity"}},
		{"timer nobody starts", smallWith("head", "clock 1 us\ntrap late \"late\"\n does halt\ntimer sanity: 1 ms, trap late"), []string{
			"13 nothing reaches it : nothing ever starts timer sanity: no `restart sanity` in an order or in boot"}},
		{"below a trap", smallWith("end", "trap odd \"odd\"\n does halt\norder again page 2-2\n pattern 1110 0001\n does trap odd\n A <- B"), []string{
			"34 nothing reaches it 2-2: order again is left in line 33, so it never comes here"}},
		{"condition that fields decide", smallWith("end", "order again x page 2-2\n pattern 1110 00x x\n does if extend(x, 4) > 3 then A <- B else B <- A\n if x < 3 or x = 0 then A <- 0 else zero <- 0"), []string{
			"31 nothing reaches it 2-2: `extend(x, 4) > 3` is so for no word of order again"}},
		{"order that yields all", smallWith("end", "order again page 2-2\n pattern 1111 0001\n except add\n does"), []string{
			"29 nothing reaches it 2-2: order again yields every word to the orders it names under except"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, err := proof.Read("small.machine", []byte(tt.file))
			if err != nil {
				t.Fatalf("the notation is refused: %v\n%s", err, tt.file)
			}
			if diff := cmp.Diff(tt.want, lines(r)); diff != "" {
				t.Errorf("findings (-want +got):\n%s\nof\n%s", diff, tt.file)
			}
			if whole := !r.Has(proof.Wrong); whole != (r.Code != nil) {
				t.Errorf("nothing wrong: %v, but a Code: %v", whole, r.Code != nil)
			}
		})
	}
}

// What is not in the notation is no finding but an error.
func TestReadRefuses(t *testing.T) {
	if r, err := proof.Read("small.machine", []byte("machine \"Small\"\n\tword 8 bits\n")); err == nil || r != nil {
		t.Errorf("a tab: got report %v, error %v; want no report and an error", r, err)
	}
}

// TestHoles holds the runs of unread words against every word there is, one by one.
func TestHoles(t *testing.T) {
	for name, file := range map[string]string{"small": small, "training office": read(t, office+"brindlecote.machine"), "cob14": read(t, machines+"cob14.machine")} {
		t.Run(name, func(t *testing.T) {
			r, err := proof.Read(name, []byte(file))
			if err != nil || r.Code == nil {
				t.Fatalf("%v, findings %v", err, lines(r))
			}
			counted := make([]uint64, len(r.Holes))
			for w := range memory.Word(1) << r.Width {
				if r.Code.Find(w) != nil || r.Code.FindUndefined(w) != nil {
					continue
				}
				in := -1
				for i, h := range r.Holes {
					if w&h.Mask == h.Value {
						if in >= 0 {
							t.Fatalf("word %o is in holes %s and %s", w, r.Drawing(r.Holes[in]), r.Drawing(h))
						}
						in = i
					}
				}
				if in < 0 {
					t.Fatalf("no order reads word %o, and it is in no hole", w)
				}
				counted[in]++
			}
			for i, h := range r.Holes {
				if h.Words != counted[i] {
					t.Errorf("hole %s: %d words, but no order reads %d of them", r.Drawing(h), h.Words, counted[i])
				}
				if r.Code.Find(h.Example) != nil || h.Example&h.Mask != h.Value {
					t.Errorf("hole %s: example %o is read by an order, or lies elsewhere", r.Drawing(h), h.Example)
				}
			}
		})
	}
}

// Where the folders are that tests read.
const (
	office   = "../../../cmd/coldstart/internal/school/office/"
	machines = "../../../testdata/machines/"
)

// read reads a file.
func read(t testing.TB, name string) string {
	t.Helper()
	src, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(src)
}

func ExampleRead() {
	r, err := proof.Read("small.machine", []byte(smallWith("load", `  check A = 1 : A = 6`)))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Findings {
		fmt.Printf("line %d, page %s, %v: %s\n", f.Line, f.Page, f.Kind, f.Text)
	}
	for _, h := range r.Holes {
		fmt.Printf("%s  %d words\n", r.Drawing(h), h.Words)
	}
	// Output:
	// line 18, page 1-1, example does not come out: order load: A is 005, not 006
	// 0* *** ***  127 words
	// 11 1** ***  30 words
}

// A file with thousands of wrong lines is given up after a while, with more errors than anybody reads, and never takes more
// store than a laptop has to spare.
func TestManyWrongOrders(t *testing.T) {
	const head = "machine \"Many\"\nnumbers octal, bit 0 at right\nword 12 bits, twos complement\naddress 9 bits\nregister A: 12 bits\n" +
		"counter P: 9 bits, holds next order\nstore S 000-377\norder o\npattern 000000000000\ndoes A <- A\n"
	const most = 600 << 20 // bytes taken in all; a small part of them is held at any time
	for _, tt := range []struct {
		name, line string
		lines      int
	}{
		{"orders without a pattern", "order x%d\n", 29_000},
		{"addenda that replace nothing", "order x%d page A-1 replaces page 3-1\n", 29_000},
		{"modes that replace nothing", "mode x%d page A-1 replaces page 3-1\n", 29_000},
		{"orders that read one word", "order x%d\npattern 111111111111\ndoes\n", 29_000},
		{"examples that do not come out", "check A = 0 : A = 1 # %d\n", 25_000},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var src strings.Builder
			src.WriteString(head)
			for i := range tt.lines {
				fmt.Fprintf(&src, tt.line, i)
			}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			r, err := proof.Read("many.machine", []byte(src.String()))
			runtime.ReadMemStats(&after)
			if err != nil {
				t.Fatal(err)
			}
			if !r.Trouble() || len(r.Findings) < 100 {
				t.Errorf("%d findings; want 100 at least, and trouble", len(r.Findings))
			}
			if used := after.TotalAlloc - before.TotalAlloc; used > most {
				t.Errorf("%d MB of store taken, want %d at most", used>>20, most>>20)
			}
		})
	}
}
