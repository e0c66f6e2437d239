package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// A laid is what this test reads of an overlay's report.
type laid struct {
	Verdict     string
	ToSettle    []string `json:"to_settle"`
	ParityRead  int      `json:"parity_read"`
	ParityRight int      `json:"parity_right"`
	Areas       []struct {
		Kind         string
		Words        int
		OnTape       int `json:"on_tape"`
		Same, Differ int
	}
	Differences []struct {
		Address struct {
			Number int
			Text   string
		}
		Tape, Dump string
		Judge      bool `json:"for_a_person_to_judge"`
	}
	Bits []struct {
		Place      string
		Tape, Dump int
		Differ, Of int
	}
}

// TestNightItStopped makes the dump of a machine that one stuck cell stopped, lays it over the tape, and makes every count
// again from the files alone, by loops that know nothing of the program's own.
func TestNightItStopped(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "office")
	run(t, "", 0, "school", dir)
	const jam = "ST2 U08 @024107 = 1"
	stop := run(t, dir, 1, "bringup", "--jam", jam+", from milestone idle", "--dump", "crash.words")
	run(t, dir, 0, "recite", "-o", "tape.words")
	var got laid
	if err := json.Unmarshal(run(t, dir, 1, "overlay", "--dump", "crash.words", "--json"), &got); err != nil {
		t.Fatal(err)
	}
	tape, _ := plainWords(t, filepath.Join(dir, "tape.words"))
	dump, parity := plainWords(t, filepath.Join(dir, "crash.words"))
	kind := areaKinds(t, filepath.Join(dir, "areas.list"))

	var differ []int
	zero, stillZero, right := 0, 0, 0
	same, on := map[string]int{}, map[string]int{}
	for a := range 0o100000 {
		want, taped := tape[a]
		have, dumped := dump[a]
		if p, ok := parity[a]; ok && p == oddHalves(have) {
			right++
		}
		if !taped {
			continue
		}
		if !dumped {
			t.Fatalf("%06o is not in the dump", a)
		}
		on[kind[a]]++
		if want == have {
			same[kind[a]]++
		} else if kind[a] == "program" || kind[a] == "table" {
			differ = append(differ, a)
		}
		if st2 := a >= 0o20000 && a <= 0o27777; st2 && kind[a] != "data" && want&0o200 == 0 {
			zero++
			if have&0o200 == 0 {
				stillZero++
			}
		}
	}
	if len(differ) != 1 || differ[0] != 0o24107 || dump[0o24107] != tape[0o24107]|0o200 {
		t.Fatalf("a loop over the words finds differences at %o, want one at 24107, of bit 7", differ)
	}
	if len(got.Differences) != 1 || got.Differences[0].Address.Number != differ[0] || got.Differences[0].Judge || got.Differences[0].Tape != "604010" {
		t.Errorf("told are the differences %+v, want one at 024107", got.Differences)
	}
	if len(got.Bits) != 1 || got.Bits[0].Place != "ST2 U08 (bit 7)" || got.Bits[0].Of != zero || got.Bits[0].Of-got.Bits[0].Differ != stillZero || got.Bits[0].Tape != 0 {
		t.Errorf("told are the bits %+v; a loop counts %d of %d", got.Bits, stillZero, zero)
	}
	if got.ParityRead != len(parity) || got.ParityRight != right || right != len(parity)-1 {
		t.Errorf("parity is told right in %d of %d; a loop counts %d of %d", got.ParityRight, got.ParityRead, right, len(parity))
	}
	for _, area := range got.Areas {
		name := map[string]string{"office data": "data"}[area.Kind]
		if name == "" {
			name = area.Kind
		}
		if area.OnTape != on[name] || area.Same != same[name] || area.Differ != on[name]-same[name] {
			t.Errorf("of %s are told %+v; a loop counts %d on the tape, %d the same", name, area, on[name], same[name])
		}
	}

	// The jam it names, in force from the start, gives the same stop, lamps and dump again: nothing reads the cell before.
	advised := got.ToSettle[len(got.ToSettle)-1]
	if want := "coldstart bringup --jam '" + jam + "'"; advised != want {
		t.Fatalf("advised is %q, want %q", advised, want)
	}
	again := run(t, dir, 1, "bringup", "--jam", jam, "--dump", "again.words")
	stopped := func(report []byte) string { // all but what the jam did
		text, _, _ := strings.Cut(string(report), "faults put in:")
		return text
	}
	if stopped(stop) != stopped(again) || !bytes.Equal(file(t, filepath.Join(dir, "crash.words")), file(t, filepath.Join(dir, "again.words"))) {
		t.Error("the same jam gives another stop or another dump")
	}
	if !bytes.Contains(stop, []byte("saved = 024107, reason = 1")) {
		t.Errorf("the stop is another one:\n%s", stop)
	}
}

// run runs the program, wants its exit status, and gives what it printed.
func run(t *testing.T, dir string, status int, args ...string) []byte {
	t.Helper()
	cmd := exec.Command("coldstart", args...)
	cmd.Dir = dir
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() != status {
		t.Fatalf("coldstart %s: %v, want status %d\n%s", strings.Join(args, " "), err, status, complaint.Bytes())
	}
	return out
}

// file is what a file holds.
func file(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// plainWords reads octal words, with the two parity bits behind a stroke where there are any.
func plainWords(t *testing.T, name string) (words map[int]int, parity map[int]string) {
	t.Helper()
	words, parity = map[int]int{}, map[int]string{}
	for line := range strings.Lines(string(file(t, name))) {
		head, rest, _ := strings.Cut(line, ":")
		a := octal(t, head)
		for i, w := range strings.Fields(rest) {
			w, p, beside := strings.Cut(w, "/")
			words[a+i] = octal(t, w)
			if beside {
				parity[a+i] = p
			}
		}
	}
	return words, parity
}

// areaKinds is the kind of area of each address.
func areaKinds(t *testing.T, name string) map[int]string {
	t.Helper()
	kinds := map[int]string{}
	for _, m := range regexp.MustCompile(`(?m)^(\w+) +([0-7]+)-([0-7]+)`).FindAllStringSubmatch(string(file(t, name)), -1) {
		for a := octal(t, m[2]); a <= octal(t, m[3]); a++ {
			kinds[a] = m[1]
		}
	}
	return kinds
}

// octal reads an octal number.
func octal(t *testing.T, text string) int {
	t.Helper()
	v, err := strconv.ParseInt(text, 8, 64)
	if err != nil {
		t.Fatal(err)
	}
	return int(v)
}

// oddHalves is the parity bits, right and left, that make each half of a word of 18 bits odd.
func oddHalves(w int) (bits string) {
	for range 2 {
		n := strings.Count(strconv.FormatInt(int64(w&0o777), 2), "1")
		bits += strconv.Itoa(1 - n%2)
		w >>= 9
	}
	return bits
}
