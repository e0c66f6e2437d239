package hexfile_test

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/loader/hexfile"
)

// published is the S-record example of the man-page text of the format, found in many public copies: header HDR, 52
// bytes at 0000-0033 in 4 records. All its sums were recomputed.
const published = `S00600004844521B
S1130000285F245F2212226A000424290008237C2A
S11300100002000800082629001853812341001813
S113002041E900084E42234300182342000824A952
S107003000144ED492
S5030004F8
S9030000FC
`

// hexEnd is the end record that the Hexadecimal Object File Format Specification, Rev A (1988), prints.
const hexEnd = "\n:00000001FF\n"

// show gives the bytes of f as "address=value" words, and what else it says.
func show(f *hexfile.File) string {
	var b strings.Builder
	for _, s := range f.Segments {
		fmt.Fprintf(&b, "%X=%X ", s.Address, s.Data)
	}
	if f.HasStart {
		fmt.Fprintf(&b, "start=%X ", f.Start)
	}
	if f.Header != "" {
		fmt.Fprintf(&b, "header=%q ", f.Header)
	}
	return strings.TrimSpace(b.String())
}

// TestPublished reads published records; each row names where its record was printed. Sums were recomputed.
func TestPublished(t *testing.T) {
	const twelve = ":0300300002337A1E\n" // the data record of the encyclopaedia's example, to have a base act on something
	tests := []struct{ source, src, want string }{
		{"a router manual", ":04003000902BB4FD60" + hexEnd, "30=902BB4FD"},
		{"an assembler manual", ":10E0000002E003E4F588758910F58DF58BD28E302A" + hexEnd, "E000=02E003E4F588758910F58DF58BD28E30"},
		{"worked examples of Intel HEX, source not named", twelve + hexEnd, "30=02337A"},
		{"worked examples of Intel HEX, type 02", ":020000021200EA\n" + twelve + hexEnd, "12030=02337A"},
		{"worked examples of Intel HEX, type 04", ":02000004FFFFFC\n" + twelve + hexEnd, "FFFF0030=02337A"},
		{"a programmer manual, its wrong check sum 02 put right", ":020000024A2989\n" + twelve + hexEnd, "4A2C0=02337A"},
		{"type 02 wraps in its segment: rule from memory, spec data-record section",
			":020000021000EC\n:02FFFF00AABB9B" + hexEnd, "10000=BB 1FFFF=AA"},
		{"type 04 goes on: rule from memory, spec data-record section",
			":020000040001F9\n:02FFFF00AABB9B" + hexEnd, "1FFFF=AA 20000=BB"},
		{"type 04 from the last address to 0: rule from memory, spec data-record section",
			":02000004FFFFFC\n:02FFFF00AABB9B" + hexEnd, "0=BB FFFFFFFF=AA"},
		{"24-bit S-records, TI SPRU513 hex-format section or a maker manual",
			"S21D0100006461746120617420612068696768657220616464726573730034\n",
			fmt.Sprintf("10000=%X", "data at a higher address\x00")},
		{"32-bit S-records, TI SPRU513 hex-format section or a maker manual",
			"S315CAFE010055AA55AA55AA55AA55AA55AA55AA55AA29\nS70500000000FA\n",
			"CAFE0100=55AA55AA55AA55AA55AA55AA55AA55AA"},
		{"a maker manual: S0 with no address field, so that its first two bytes are taken for one",
			"S008763330627567736D\nS107003000144ED492\nS9030000FC\n", `30=00144ED4 header="0bugs"`},
	}
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			f, err := hexfile.Read("x", []byte(tt.src))
			if err != nil {
				t.Fatalf("%s: %v", tt.src, err)
			}
			if got := show(f); got != tt.want {
				t.Errorf("%s:\ngot  %s\nwant %s", tt.src, got, tt.want)
			}
		})
	}
}

// TestPublishedText rewrites the published S-record text byte for byte. The digest is that of the 52 bytes as another
// program for these files writes them (Debian's srecord 1.64, srec_cat -binary).
func TestPublishedText(t *testing.T) {
	f, err := hexfile.ReadSRecords("x", []byte(published))
	if err != nil {
		t.Fatal(err)
	}
	var data []byte
	for a, b := range f.All() {
		if int(a) != len(data) {
			t.Fatalf("byte %d is at %04X", len(data), a)
		}
		data = append(data, b)
	}
	if got := fmt.Sprintf("%x", sha256.Sum256(data)); len(data) != 52 || !strings.HasPrefix(got, "3c294e25") || !strings.HasSuffix(got, "e32d") {
		t.Errorf("got %d bytes with digest %s; want 52 with 3c294e25...e32d", len(data), got)
	}
	if f.Header != "HDR" || f.HasStart || len(f.Warnings) > 0 {
		t.Errorf("got %s, warnings %v; want the header HDR, no start, no warning", show(f), f.Warnings)
	}
	again, err := hexfile.AppendSRecords(nil, f)
	if diff := cmp.Diff(published, string(again)); err != nil || diff != "" {
		t.Errorf("written again with %v (-want +got):\n%s", err, diff)
	}
}
