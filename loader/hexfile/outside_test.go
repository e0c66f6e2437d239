package hexfile_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/loader/hexfile"
)

// outside gives a function that runs a program of Debian's srecord package, an independent reader and writer of these
// files (1.64 when this was written), in an empty folder. Where the package is missing the test is skipped, but for CI,
// where it fails: there nobody would notice.
func outside(t *testing.T) (folder string, run func(want int, name string, args ...string) string) {
	t.Helper()
	if _, err := exec.LookPath("srec_cat"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%v: CI compares with the srecord package, so install it", err)
		}
		t.Skip("no srec_cat here: install the package srecord to compare with it")
	}
	folder = t.TempDir()
	return folder, func(want int, name string, args ...string) string {
		t.Helper()
		c := exec.Command(name, args...)
		c.Dir = folder
		out, err := c.CombinedOutput()
		if got := c.ProcessState.ExitCode(); got != want {
			t.Fatalf("%s %q: exit status %d, want %d: %v\n%s", name, args, got, want, err, out)
		}
		return string(out)
	}
}

// save writes a file of the folder, and load reads one.
func save(t *testing.T, folder, name string, text []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(folder, name), text, 0o600); err != nil {
		t.Fatal(err)
	}
}

func load(t *testing.T, folder, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// extents are bits of an address: for each the narrowest records of either format are of another type.
var extents = []int{16, 20, 24, 32}

// TestOutsideAgrees holds on sixty images that the outside program reads what we write as the same bytes, and that we read its
// output as what we gave. Where all runs begin at multiples of 16 its S-records are ours byte for byte; elsewhere it cuts
// lines at multiples of 512, which are its own affair.
func TestOutsideAgrees(t *testing.T) {
	folder, run := outside(t)
	images := uint64(60)
	if testing.Short() {
		images = 9
	}
	for seed := range images {
		bits := extents[seed%4]
		wide := (bits + 7) / 8 // bytes of an address
		aligned := seed%7 != 0 // 51 of 60
		f := scattered(seed, bits, aligned)
		ours, err := hexfile.AppendSRecords(nil, f)
		if err != nil {
			t.Fatal(err)
		}
		oursHex, err := hexfile.AppendHex(nil, f)
		if err != nil {
			t.Fatal(err)
		}
		save(t, folder, "ours.srec", ours)
		save(t, folder, "ours.hex", oursHex)
		run(0, "srec_cmp", "ours.srec", "-motorola", "ours.hex", "-intel")
		run(0, "srec_cat", "ours.srec", "-motorola", "-o", "theirs.srec", "-motorola",
			"-address-length="+strconv.Itoa(wide), "-obs=16")
		run(0, "srec_cat", "ours.srec", "-motorola", "-o", "theirs.hex", "-intel")
		run(0, "srec_cat", "ours.hex", "-intel", "-o", "back.srec", "-motorola")
		if diff := cmp.Diff(string(ours), string(load(t, folder, "theirs.srec"))); aligned && diff != "" {
			t.Errorf("seed %d: S-records (-ours +theirs):\n%s", seed, diff)
		}
		back, err := hexfile.ReadSRecords("back.srec", load(t, folder, "back.srec"))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if segments(back) != segments(f) || back.Start != f.Start {
			t.Errorf("seed %d: our Intel HEX is read as %s\nwant %s", seed, show(back), show(f))
		}
		theirs, err := hexfile.ReadHex("theirs.hex", load(t, folder, "theirs.hex"))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if segments(theirs) != segments(f) || theirs.Start != f.Start || len(theirs.Warnings) > 0 {
			t.Errorf("seed %d: Intel HEX: got %s, %v\nwant %s", seed, show(theirs), theirs.Warnings, show(f))
		}
	}
}

// TestOutsideSegments holds that the outside program wraps in segments, and goes on past 64 K, as we do.
func TestOutsideSegments(t *testing.T) {
	folder, run := outside(t)
	for name, src := range map[string]string{
		"type 02": ":020000021000EC\n:02FFFF00AABB9B" + hexEnd,
		"type 04": ":020000040001F9\n:02FFFF00AABB9B" + hexEnd,
	} {
		f, err := hexfile.ReadHex("x", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		ours, err := hexfile.AppendSRecords(nil, f)
		if err != nil {
			t.Fatal(err)
		}
		save(t, folder, "given.hex", []byte(src))
		save(t, folder, "ours.srec", ours)
		t.Logf("%s: %s", name, show(f))
		run(0, "srec_cmp", "given.hex", "-intel", "ours.srec", "-motorola")
	}
}

// TestOutsideRefuses holds that both refuse the same six files, and both take the five odd ones.
func TestOutsideRefuses(t *testing.T) {
	folder, run := outside(t)
	tests := []struct {
		name, src, notation string
		status              int
	}{
		{"check sum of Intel HEX", ":020000024A2902" + hexEnd, "-intel", 1},
		{"end record only", ":00000001FF\n", "-intel", 1},
		{"check sum of an S-record", published[:len(published)-2] + "D\n", "-motorola", 1},
		{"records lost", "S5030005F7\n" + published, "-motorola", 1},
		{"two values", sData + "S104003115B5\nS9030000FC\n", "-motorola", 1},
		{"cut in a line", ":04003000902BB4" + hexEnd, "-intel", 1},
		{"published", published, "-motorola", 0},
		{"no header, no count, no end", sData, "-motorola", 0},
		{"a record twice", sData + sData, "-motorola", 0},
		{"header without an address", "S008763330627567736D\n" + published[17:], "-motorola", 0},
		{"a right sum", ":020000024A2989\n" + hexData + hexEnd, "-intel", 0},
	}
	for _, tt := range tests {
		save(t, folder, "given", []byte(tt.src))
		run(tt.status, "srec_cat", "given", tt.notation, "-o", "out", "-binary")
		if _, err := hexfile.Read("x", []byte(tt.src)); (err != nil) != (tt.status != 0) {
			t.Errorf("%s: %q: got %v; the outside program ended with %d", tt.name, tt.src, err, tt.status)
		}
	}
}
