package hexfile_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"coldstart/loader/hexfile"
)

// run gives n bytes that tell their places.
func run(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i * 7)
	}
	return b
}

func TestAppend(t *testing.T) {
	type file = hexfile.File
	tests := []struct {
		name    string
		f       file
		hex, sr string
	}{
		{"16 bits, a start", file{Header: "A", Start: 0x12, HasStart: true, Segments: []hexfile.Segment{{Address: 0x30, Data: []byte{2}}}},
			":0100300002CD\n:0400000300000012E7\n:00000001FF\n",
			"S004000041BA\nS104003002C9\nS5030001FB\nS9030012EA\n"},
		{"24 bits, across 64 K", file{Segments: []hexfile.Segment{{Address: 0xFFFF, Data: []byte{1, 2}}}},
			":020000020000FC\n:01FFFF000100\n:020000021000EC\n:0100000002FD\n:00000001FF\n",
			"S0030000FC\nS20600FFFF0102F8\nS5030001FB\nS804000000FB\n"},
		{"a start beyond 64 K", file{Start: 0xF0123, HasStart: true, Segments: []hexfile.Segment{{Address: 0x30, Data: []byte{2}}}},
			":020000020000FC\n:0100300002CD\n:04000003F0000123E5\n:00000001FF\n",
			"S0030000FC\nS20500003002C8\nS5030001FB\nS8040F0123C8\n"},
		{"the last of 20 bits", file{Segments: []hexfile.Segment{{Address: 0xFFFFF, Data: []byte{1}}}},
			":02000002F0000C\n:01FFFF000100\n:00000001FF\n",
			"S0030000FC\nS2050FFFFF01EC\nS5030001FB\nS804000000FB\n"},
		{"the first beyond 20 bits", file{Segments: []hexfile.Segment{{Address: 0x100000, Data: []byte{1}}}},
			":020000040010EA\n:0100000001FE\n:00000001FF\n",
			"S0030000FC\nS20510000001E9\nS5030001FB\nS804000000FB\n"},
		{"32 bits by the start alone", file{Start: 0xCAFE0100, HasStart: true, Segments: []hexfile.Segment{{Address: 0, Data: []byte{1}}}},
			":020000040000FA\n:0100000001FE\n:04000005CAFE01002E\n:00000001FF\n",
			"S0030000FC\nS3060000000001F8\nS5030001FB\nS705CAFE010031\n"},
		{"a start that is not there", file{Start: 0xCAFE0100, Segments: []hexfile.Segment{{Address: 0, Data: []byte{1}}}},
			":0100000001FE\n:00000001FF\n",
			"S0030000FC\nS104000001FA\nS5030001FB\nS9030000FC\n"},
		{"segments that touch fill lines", file{Segments: []hexfile.Segment{{Address: 0, Data: []byte{1}}, {Address: 1, Data: []byte{2}}, {Address: 3, Data: []byte{3}}}},
			":020000000102FB\n:0100030003F9\n:00000001FF\n",
			"S0030000FC\nS10500000102F7\nS104000303F5\nS5030002FA\nS9030000FC\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := hexfile.AppendHex([]byte("x"), &tt.f)
			if diff := cmp.Diff("x"+tt.hex, string(got)); err != nil || diff != "" {
				t.Errorf("%+v as Intel HEX: %v (-want +got)\n%s", tt.f, err, diff)
			}
			got, err = hexfile.AppendSRecords([]byte("x"), &tt.f)
			if diff := cmp.Diff("x"+tt.sr, string(got)); err != nil || diff != "" {
				t.Errorf("%+v as S-records: %v (-want +got)\n%s", tt.f, err, diff)
			}
		})
	}
}

func TestAppendRefuses(t *testing.T) {
	one := []hexfile.Segment{{Address: 8, Data: []byte{1}}}
	tests := []struct {
		name string
		f    hexfile.File
		want string
	}{
		{"empty", hexfile.File{}, "no bytes to write: the image is empty"},
		{"empty segment", hexfile.File{Segments: []hexfile.Segment{{Address: 7}}}, "segment 0, at 00000007, has no bytes"},
		{"overlap", hexfile.File{Segments: append(one, one...)}, "segment 1, at 00000008, begins before the end of the one before it"},
		{"too far", hexfile.File{Segments: []hexfile.Segment{{Address: 0xFFFFFFFF, Data: []byte{1, 2}}}}, "segment 0, at FFFFFFFF, runs beyond the last address, FFFFFFFF"},
		{"header", hexfile.File{Header: strings.Repeat("h", 253), Segments: one}, "a header of 253 bytes; an S0 record holds 252 at most"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := hexfile.AppendSRecords([]byte("x"), &tt.f)
			if err == nil || err.Error() != tt.want || string(got) != "x" {
				t.Errorf("S-records of %+v: got %q, %v; want %s", tt.f, got, err, tt.want)
			}
			if got, err := hexfile.AppendHex([]byte("x"), &tt.f); tt.name != "header" && (err == nil || err.Error() != tt.want || string(got) != "x") {
				t.Errorf("Intel HEX of %+v: got %q, %v; want %s", tt.f, got, err, tt.want)
			}
		})
	}
}

// TestMoreThan65535Records holds that the records of a long file are counted by an S6.
func TestMoreThan65535Records(t *testing.T) {
	f := &hexfile.File{Segments: []hexfile.Segment{{Data: run(16 * 1 << 16)}}}
	text, err := hexfile.AppendSRecords(nil, f)
	if err != nil || !strings.Contains(string(text), "\nS604010000FA\n") {
		t.Fatalf("got %v, ending in %s; want the record S604010000FA", err, text[len(text)-60:])
	}
	if _, err := hexfile.ReadSRecords("x", text); err != nil {
		t.Error(err)
	}
}

// segments gives f without the division into lines: what it says of each byte and of the start.
func segments(f *hexfile.File) string {
	var b strings.Builder
	for a, v := range f.All() {
		fmt.Fprintf(&b, "%X=%02X ", a, v)
	}
	return b.String()
}

// FuzzRead holds that what is read is written, in both notations, and read back equal and without a warning.
func FuzzRead(f *testing.F) {
	for _, s := range []string{published, "S315CAFE010055AA55AA55AA55AA55AA55AA55AA55AA29\nS70500000000FA\n", sData + sData,
		hexData + hexEnd, ":020000021000EC\n:02FFFF00AABB9B" + hexEnd, ":02000004FFFFFC\n:02FFFF00AABB9B" + hexEnd,
		hexData + ":020032007ABB97\n:0400000500003800BF" + hexEnd, "S008763330627567736D\n" + sData} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		first, err := hexfile.Read("x", src)
		if err != nil {
			if first != nil {
				t.Errorf("%q: a file is given beside the error %v", src, err)
			}
			return
		}
		roundTrip(t, first, hexfile.AppendSRecords, hexfile.ReadSRecords)
		first.Header = "" // Intel HEX has none
		roundTrip(t, first, hexfile.AppendHex, hexfile.ReadHex)
	})
}

// roundTrip writes f and reads it back.
func roundTrip(t *testing.T, f *hexfile.File, write func([]byte, *hexfile.File) ([]byte, error),
	read func(string, []byte) (*hexfile.File, error)) {
	t.Helper()
	text, err := write(nil, f)
	if err != nil {
		t.Fatalf("%s: %v", show(f), err)
	}
	got, err := read("x", text)
	if err != nil {
		t.Fatalf("%s was written as\n%sand not read: %v", show(f), text, err)
	}
	// A start at 0 is what S-records say where there is none.
	if text[0] == 'S' && f.HasStart && f.Start == 0 {
		got.HasStart = true
	}
	ignored := cmpopts.IgnoreFields(hexfile.File{}, "Segments", "Warnings")
	if diff := cmp.Diff(f, got, ignored); diff != "" || segments(f) != segments(got) || len(got.Warnings) > 0 {
		t.Errorf("%s was written as\n%sand read as %s, warnings %v\n%s", show(f), text, show(got), got.Warnings, diff)
	}
}

// scattered makes a file of runs at places that differ with seed, the last byte at the last address of so many bits; if
// aligned all runs begin at multiples of 16.
func scattered(seed uint64, bits int, aligned bool) *hexfile.File {
	r := rand.New(rand.NewPCG(seed, 0))
	f := &hexfile.File{Header: fmt.Sprintf("image %d", seed)}
	if f.HasStart = seed%2 == 1; f.HasStart {
		f.Start = 1 + r.Uint32N(1<<(bits-1))
	}
	last := uint64(1)<<bits - 16
	at := r.Uint64N(64)
	for {
		if aligned {
			at &^= 15
		}
		data := make([]byte, 1+r.IntN(200))
		for i := range data {
			data[i] = byte(r.Uint32())
		}
		if at+uint64(len(data)) > last {
			break
		}
		f.Segments = append(f.Segments, hexfile.Segment{Address: uint32(at), Data: data})
		at += uint64(len(data)) + 16 + r.Uint64N(1<<(bits-4))
	}
	f.Segments = append(f.Segments, hexfile.Segment{Address: uint32(last), Data: run(16)})
	return f
}

func TestRoundTripScattered(t *testing.T) {
	for seed := range uint64(60) {
		f := scattered(seed, extents[seed%4], false)
		roundTrip(t, f, hexfile.AppendSRecords, hexfile.ReadSRecords)
		f.Header = ""
		roundTrip(t, f, hexfile.AppendHex, hexfile.ReadHex)
	}
}
