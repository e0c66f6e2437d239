package trail

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/memory"
)

// readVCD is a reader of its own: for each signal its value by time, as text, by the names in the file.
func readVCD(t *testing.T, text string) (values map[string]map[int]string, last int) {
	t.Helper()
	names, now := map[string]string{}, 0
	values = map[string]map[int]string{}
	for lines := bufio.NewScanner(strings.NewReader(text)); lines.Scan(); {
		line := lines.Text()
		f := strings.Fields(line)
		switch {
		case len(f) == 0:
		case f[0] == "$var":
			names[f[3]] = f[4]
			values[f[4]] = map[int]string{}
		case line[0] == '#':
			fmt.Sscanf(line, "#%d", &now)
		case line[0] == 'b':
			values[names[f[1]]][now] = strings.TrimLeft(f[0][1:len(f[0])-1], "0") + f[0][len(f[0])-1:]
		case strings.ContainsRune("01xz", rune(line[0])):
			values[names[line[1:]]][now] = line[:1]
		}
	}
	return values, now
}

// valueAt is the value that a signal has at a time.
func valueAt(changes map[int]string, at int) string {
	for ; at >= 0; at-- {
		if v, ok := changes[at]; ok {
			return v
		}
	}
	return "none"
}

// IEEE 1364's example as an encyclopaedia has it, made again: an 8-bit word and 1-bit lines, at the same times.
func TestVCDPublished(t *testing.T) {
	v := NewVCD([]Signal{{"data", 8}, {"data_valid", 1}, {"en", 1}}, false)
	const ns = cpu.Time(1000)
	v.Read(0, 0, 0b10000001, true)
	v.Read(0, 1, 0, true)
	v.Read(0, 2, 1, true)
	v.Read(2211*ns, 2, 0, true)
	v.Read(2296*ns, 0, 0, true)
	v.Read(2296*ns, 1, 1, true)
	v.Read(2302*ns, 1, 0, true)
	text := string(v.Bytes())
	for _, want := range []string{"$timescale 1 ns $end", "$var wire 8 ! data $end", "#0\n$dumpvars\nbxxxxxxxx !\nx\"\nx#\n$end\nb10000001 !\n0\"\n1#\n", "#2296\nb00000000 !\n1\"\n", "#2302\n0\"\n#2303\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	values, last := readVCD(t, text)
	for at := 2290; at < 2303; at++ {
		if got, want := valueAt(values["data_valid"], at), map[bool]string{true: "1", false: "0"}[at >= 2296 && at < 2302]; got != want {
			t.Errorf("data_valid at %d is %s, want %s", at, got, want)
		}
	}
	if last != 2303 {
		t.Errorf("ends at %d", last)
	}
}

// An independent reader (vcd2fst and fst2vcd of Debian's gtkwave) gives back at every time what was written, both as words and
// as wires.
func TestVCDReadByOthers(t *testing.T) {
	for _, program := range []string{"vcd2fst", "fst2vcd"} {
		if _, err := exec.LookPath(program); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("%s is missing: Debian's package gtkwave has it", program)
			}
			t.Skipf("%s is not here", program)
		}
	}
	for _, wires := range []bool{false, true} {
		r := rand.New(rand.NewPCG(1, 2))
		v := NewVCD([]Signal{{"P", 15}, {"A", 18}, {"zero", 1}, {"store 000760", 18}}, wires)
		for i := range 500 {
			for s := range v.signals {
				if r.IntN(3) == 0 {
					v.Read(cpu.Time(i)*2500_000, s, memory.Word(r.Uint64())&memory.Mask(v.signals[s].Width), i > 20 || s == 0)
				}
			}
		}
		dir := t.TempDir()
		in, fst := filepath.Join(dir, "a.vcd"), filepath.Join(dir, "a.fst")
		if err := os.WriteFile(in, v.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("vcd2fst", in, fst).CombinedOutput(); err != nil {
			t.Fatalf("vcd2fst: %v\n%s", err, out)
		}
		back, err := exec.Command("fst2vcd", fst).Output()
		if err != nil {
			t.Fatal(err)
		}
		ours, last := readVCD(t, string(v.Bytes()))
		theirs, _ := readVCD(t, string(back))
		if len(ours) != len(theirs) || len(ours) == 0 {
			t.Fatalf("%d signals written, %d read", len(ours), len(theirs))
		}
		for name := range ours {
			for at := range last {
				got, want := valueAt(theirs[name], at), valueAt(ours[name], at)
				if strings.Trim(want, "x") == "" {
					want, got = "x", strings.Trim(got, "x")+"x" // a reader may cut a word of unknown bits short
				}
				if got != want {
					t.Fatalf("wires %v: %s at %d is read as %s, want %s", wires, name, at, got, want)
				}
			}
		}
	}
}
