package template_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"coldstart/cpu/assemble/template"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/memory"
	"coldstart/memory/march"
)

// folders of the machines that have a template.
const (
	school   = "../../../cmd/coldstart/internal/school/office/"
	machines = "../../../testdata/machines/"
)

// brindlecote reads the training machine and its template.
func brindlecote(t testing.TB) (*order.Code, *template.Template) {
	t.Helper()
	return machine(t, school+"brindlecote")
}

// machine reads a machine file and the template beside it.
func machine(t testing.TB, path string) (*order.Code, *template.Template) {
	t.Helper()
	src, err := os.ReadFile(path + ".machine")
	if err != nil {
		t.Fatal(err)
	}
	code, err := order.Read(path, src)
	if err != nil {
		t.Fatal(err)
	}
	if src, err = os.ReadFile(path + ".march"); err != nil {
		t.Fatal(err)
	}
	tm, err := template.Read(path+".march", src)
	if err != nil {
		t.Fatal(err)
	}
	return code, tm
}

// A finding is all that a routine leaves in store, and what of a report it stands for.
type finding struct {
	Failed          int64
	Op, Run         int // of the first failure, from 1; 0: none
	At              memory.Addr
	Wanted, Read    memory.Word
	Bits            memory.Word
	Lowest, Highest memory.Addr
	Counts          string
}

// reported is what march found on the bare store, as far as an order can see it: a word that differs. Whether parity was right
// no order is told.
func reported(t *testing.T, r march.Report) (f finding) {
	t.Helper()
	counts := make([]int, r.Test.Length())
	if int64(len(r.Failures)) != r.Failed {
		t.Fatalf("%d failures listed of %d", len(r.Failures), r.Failed)
	}
	for _, x := range r.Failures {
		if x.Bits() == 0 {
			continue
		}
		if f.Failed++; f.Failed == 1 {
			f.Op, f.Run, f.At, f.Wanted, f.Read, f.Lowest, f.Highest = x.Number(r.Test)+1, x.Background+1, x.Addr, x.Want, x.Got, x.Addr, x.Addr
		}
		f.Bits |= x.Bits()
		f.Lowest, f.Highest = min(f.Lowest, x.Addr), max(f.Highest, x.Addr)
		counts[x.Number(r.Test)]++
	}
	f.Counts = fmt.Sprint(counts)
	return f
}

// found runs a routine from its beginning to its halt, and reads what it left.
func found(t *testing.T, h *duplex.Half, r *template.Routine, start memory.Addr, operations int) (f finding) {
	t.Helper()
	code := h.Machine.Code()
	image, err := r.Program.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.Store.Load(image); err != nil {
		t.Fatal(err)
	}
	h.Machine.Boot()
	h.Machine.Set(code.Counter, memory.Word(start))
	h.Machine.Run(50_000_000, 1<<62)
	word := func(label string, n int) memory.Word {
		a, ok := r.Program.Label(label)
		if !ok {
			t.Fatalf("no label %s", label)
		}
		return h.Seen(a + memory.Addr(n))
	}
	if !h.Machine.Halted() || word("done", 0) != 1 {
		t.Fatalf("not done: halted %v, trap %+v", h.Machine.Halted(), h.Machine.LastTrap())
	}
	counts := make([]int, operations)
	for i := range counts {
		counts[i] = int(word("counts", i))
	}
	over := int64(1) << code.Geometry.Width // what the count of failures runs over at
	if code.Name == "Cob 14" {
		over-- // ones complement: the word of all ones is zero again
	}
	f = finding{Failed: int64(word("failed-high", 0))*over + int64(word("failed", 0))%over,
		Op: int(word("first-op", 0)), Counts: fmt.Sprint(counts), Bits: word("bits", 0)}
	if f.Op > 0 {
		f.Run, f.At = int(word("first-run", 0)), memory.Addr(word("first-at", 0))
		f.Wanted, f.Read = word("first-wanted", 0), word("first-read", 0)
		f.Lowest, f.Highest = memory.Addr(word("lowest", 0)), memory.Addr(word("highest", 0))
	}
	return f
}

// fault draws a fault of the store from first on that leaves the routine itself alone: of a cell, of two cells, or of a whole
// chip. A line or a select that fails takes the routine with it, and what fades does so by the time that orders take.
func fault(rng *rand.Rand, area *memory.Area, first memory.Addr) memory.Jam {
	cell := func() (memory.Addr, int) { return first + memory.Addr(rng.IntN(48)), rng.IntN(area.Columns()) }
	kinds := []memory.Fault{memory.Stuck, memory.NeverRises, memory.NeverFalls, memory.StuckOpen, memory.ChipStuck,
		memory.Inverts, memory.Forces, memory.Holds, memory.Shades, memory.Disturbs}
	j := memory.Jam{Fault: kinds[rng.IntN(len(kinds))], Value: rng.IntN(2), On: rng.IntN(2)}
	j.Addr, j.Column = cell()
	for j.By.Addr, j.By.Column = cell(); j.By == (memory.Cell{Addr: j.Addr, Column: j.Column}); {
		j.By.Addr, j.By.Column = cell()
	}
	if rng.IntN(4) == 0 {
		j.OneIn, j.Seed = uint64(2+rng.IntN(9)), rng.Uint64()
	}
	return j
}

// TestOrdersFindWhatMarchFinds runs the order text of a march test on a simulated machine with each of many seeded faults in its
// store, and wants exactly what march.Run finds on the bare store with the same fault. The Cob 14 has nothing of what the
// Brindlecote's text rests on: no index registers, no compare, ones complement, and other store.
func TestOrdersFindWhatMarchFinds(t *testing.T) {
	for _, tt := range []struct {
		machine string
		faults  uint64
		areas   []int // that the text does not stand in
	}{
		{school + "brindlecote", 200, []int{1, 2, 3}},
		{machines + "cob14", 100, []int{1}},
	} {
		code, tm := machine(t, tt.machine)
		if testing.Short() {
			tt.faults /= 10
		}
		some := uint64(0)
		for seed := range tt.faults {
			rng := rand.New(rand.NewPCG(seed, 18))
			area := &code.Geometry.Areas[tt.areas[rng.IntN(len(tt.areas))]]
			if compare(t, code, tm, seed, rng, area) {
				some++
			}
		}
		if some < tt.faults/2 || some == tt.faults {
			t.Errorf("%s: %d of %d faults were found: the test looks at too few, or only at loud ones", code.Name, some, tt.faults)
		}
	}
}

// TestCountsRunOver fails a chip of a whole plug-in, so that a word cannot count all failures.
func TestCountsRunOver(t *testing.T) {
	code, tm := machine(t, machines+"cob14")
	area := &code.Geometry.Areas[1]
	job := template.Job{First: area.First, Last: area.Last}
	job.Test, _ = march.Named("C-")
	jam := memory.Jam{Fault: memory.ChipStuck, Addr: area.First, Column: 3, Value: 1}
	if got := agree(t, code, tm, 1, job, jam); got.Failed <= int64(memory.Mask(code.Geometry.Width)) {
		t.Errorf("%d failures, which a word counts alone", got.Failed)
	}
}

// compare does a test in both ways with a fault drawn; it tells whether anything was found.
func compare(t *testing.T, code *order.Code, tm *template.Template, seed uint64, rng *rand.Rand, area *memory.Area) bool {
	t.Helper()
	first := area.First + memory.Addr(rng.IntN(int(area.Last-area.First)-48))
	job := template.Job{Test: march.Tests()[rng.IntN(len(march.Tests()))], First: first, Last: first + 39}
	return agree(t, code, tm, seed, job, fault(rng, area, first)).Failed > 0
}

// agree does a job in both ways with a fault, wants the same of both, and gives it.
func agree(t *testing.T, code *order.Code, tm *template.Template, seed uint64, job template.Job, jam memory.Jam) finding {
	t.Helper()
	routine, err := tm.Fill(code, job)
	if err != nil {
		t.Fatal(err)
	}
	bare := memory.NewStore(code.Geometry, seed)
	half := duplex.NewHalf("A", code, new(channel.Rack), seed)
	for _, s := range []*memory.Store{bare, half.Store} {
		if err := s.Put(jam); err != nil {
			t.Fatal(err)
		}
	}
	report, err := march.Run(job.Test, bare, march.Span{Geometry: &code.Geometry, First: job.First, Last: job.Last, Most: 1 << 20})
	if err != nil {
		t.Fatal(err)
	}
	want := reported(t, report)
	if got := found(t, half, routine, 0o1000, job.Test.Length()); got != want {
		t.Errorf("%s, seed %d, March %s, %+v:\n got %+v\nwant %+v", code.Name, seed, job.Test.Name, jam, got, want)
	}
	return want
}
