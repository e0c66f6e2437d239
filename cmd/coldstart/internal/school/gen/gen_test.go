package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"coldstart/cpu/assemble"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// readOffice gives a file of the office as it is committed.
func readOffice(name string) ([]byte, error) { return os.ReadFile(filepath.Join("..", folder, name)) }

// program is the office's order text assembled.
func program(t *testing.T) *assemble.Program {
	t.Helper()
	_, p, err := assembled(readOffice, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestMadeFiles holds the committed files against what is made now, byte for byte. The answers of the stories are among
// them: what they state comes from the runs made here.
func TestMadeFiles(t *testing.T) {
	office, err := makeOffice(readOffice)
	if err != nil {
		t.Fatal(err)
	}
	stories, err := makeStories(readOffice, office)
	if err != nil {
		t.Fatal(err)
	}
	for where, files := range map[string][]file{folder: office, storyFolder: stories} {
		for _, f := range files {
			committed, err := os.ReadFile(filepath.Join("..", where, f.name))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(f.data, committed) {
				t.Errorf("%s/%s is not what is made of the order text now: run `go generate` in the folder above", where, f.name)
			}
		}
	}
}

// TestRefusals looks at what is said when something does not fit together.
func TestRefusals(t *testing.T) {
	for _, test := range []struct {
		name, file, was, is string
		want                string
	}{
		{"a word too many", "advice.order", "advice:", "advice: words 0", "advice.order:"},
		{"a word too few", "advice.order", "LOOK AT TRUNK", "LOOK AT RUNK", "block 43 takes 400 words, and 377 stand in it"},
		{"a milestone's label gone", "base.order", "idle:", "idles: idle = idles\n", "names labels that no order text has: idle"},
		{"machine file gone", machineFile, "", "", "file does not exist"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := makeOffice(func(name string) ([]byte, error) {
				src, err := readOffice(name)
				if name != test.file {
					return src, err
				}
				if test.was == "" {
					return nil, os.ErrNotExist
				}
				return bytes.Replace(src, []byte(test.was), []byte(test.is), 1), err
			})
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("with %q for %q in %s: got error %v, want one with %q", test.is, test.was, test.file, err, test.want)
			}
		})
	}
}

// TestPlaces holds the program to what the office promises of it.
func TestPlaces(t *testing.T) {
	p := program(t)
	for _, b := range p.Blocks {
		want := memory.Addr(0o4000 + 0o400*b.Number)
		switch {
		case b.Number < 2:
			want = memory.Addr(0o1000 + 0o400*b.Number)
		case b.Number >= 0o44:
			want = memory.Addr(0o26000 + 0o400*(b.Number-0o44))
		}
		if b.First != want || b.Count != 256 {
			t.Errorf("block %03o has %d words from %05o on, want 256 from %05o", b.Number, b.Count, b.First, want)
		}
		for a, w := range p.Block(b) {
			if w == 0o525252 {
				t.Errorf("%05o in block %03o looks like a block mark", a, b.Number)
			}
		}
	}
	if len(p.Blocks) != 0o54 {
		t.Errorf("%o blocks, want 54", len(p.Blocks))
	}
	// A jam of this bit to 1 must show only once the idle loop runs: the word is an order of a task.
	w, _ := p.Word(0o24107)
	from, _ := p.Label("base-end")
	to, _ := p.Label("tasks-end-here")
	if !w.Order || w.Word>>7&1 != 0 || from > 0o24107 || to <= 0o24107 {
		t.Errorf("024107 holds %06o, order %v; want an order of a task with bit 7 = 0", w.Word, w.Order)
	}
}

// TestAreas counts every word of the program in the areas list once.
func TestAreas(t *testing.T) {
	p := program(t)
	src, err := readOffice(areasFile)
	if err != nil {
		t.Fatal(err)
	}
	areas := bytes.Count(src, []byte("\nprogram ")) + bytes.Count(src, []byte("\ntable ")) + bytes.Count(src, []byte("\ndata "))
	changes := 1
	for i := range p.Words[1:] {
		if !alike(p.Words[i], p.Words[i+1]) {
			changes++
		}
	}
	if areas != changes {
		t.Errorf("%d areas are listed, and the program changes kind or text %d times", areas, changes)
	}
}

// TestCaseWords holds lines of the table of cases against sums done by hand, in twos complement of 18 bits.
func TestCaseWords(t *testing.T) {
	for _, test := range []struct {
		name string
		a, b int
		want []int
	}{
		{"1 and 1", 1, 1, []int{1, 1, 2, 0, 0, 3, 1, 3, 1, 1, 1, 1, 0, 3}},
		{"0 and 1", 0, 1, []int{0, 1, 1, 0, 0o777777, 4, 0, 4, 0, 3, 1, 1, 1, 1}},
		{"minus 1 and 1", 0o777777, 1, []int{0o777777, 1, 0, 3, 0o777776, 5, 0o777777, 5, 1, 1, 0o777777, 5, 0o777776, 5}},
		{"largest and 1", 0o377777, 1, []int{0o377777, 1, 0o400000, 4, 0o377776, 1, 0o377777, 1, 1, 1, 0o377777, 1, 0o377776, 1}},
		{"smallest and 1", 0o400000, 1, []int{0o400000, 1, 0o400001, 4, 0o377777, 1, 0o400000, 5, 0, 3, 0o400001, 5, 0o400001, 5}},
	} {
		t.Run(test.name, func(t *testing.T) {
			if diff := cmp.Diff(test.want, caseWords(test.a, test.b)); diff != "" {
				t.Errorf("caseWords(%o, %o): want -, got +\n%s", test.a, test.b, diff)
			}
		})
	}
}

// TestOfficeData holds the office's data against themselves, as the tasks of base level do.
func TestOfficeData(t *testing.T) {
	p := program(t)
	table := func(name string, n int) int {
		first, ok := p.Label(name)
		if !ok {
			t.Fatalf("no table %s", name)
		}
		w, _ := p.Word(first + memory.Addr(n))
		return int(w.Word)
	}
	taken := map[int]bool{}
	for line := range lineCount {
		n := numberOf(line)
		if taken[n] {
			t.Errorf("line %d has number %d, which another line has", line, n)
		}
		taken[n] = true
		if got := table("translation", n); got != line {
			t.Errorf("number %d leads to %o, want line %o", n, got, line)
		}
		if got := table("line-table", 2*line) & 0o1777; got != n {
			t.Errorf("line %d has number %d in its record, want %d", line, got, n)
		}
	}
	reached := 0
	for route := range routeCount {
		count := 0
		for trunk := table("route-table", 4*route); trunk != mask; trunk = table("trunk-table", 4*trunk+3) {
			if got := table("trunk-table", 4*trunk); got != route {
				t.Errorf("trunk %d on the list of route %d has route %d in its record", trunk, route, got)
			}
			count++
		}
		if want := table("route-table", 4*route+1); count != want {
			t.Errorf("route %d has %d trunks on its list, want %d", route, count, want)
		}
		reached += count
	}
	if reached != trunkCount {
		t.Errorf("%d trunks are on the lists of routes, want %d", reached, trunkCount)
	}
}
