package hexfile_test

import (
	"strings"
	"testing"

	"coldstart/loader/hexfile"
)

// Records for files whose point is another.
const (
	hexData = ":0300300002337A1E\n"
	sData   = "S107003000144ED492\n"
)

func TestRefuses(t *testing.T) {
	tests := []struct{ name, src, want string }{
		// The six that Debian's srecord 1.64 refuses too, and the empty file, which it lets pass.
		{"check sum of Intel HEX", ":020000024A2902" + hexEnd, "x:1:14: the check sum is 02, and the bytes of the record make 89; compare the line with the original"},
		{"end record only", ":00000001FF\n", "x:1:1: no data record in the file; it holds no image"},
		{"check sum of an S-record", strings.Replace(published, "9030000FC", "9030000FD", 1), "x:7:9: the check sum is FD, and the bytes of the record make FC; compare the line with the original"},
		{"records lost", strings.Replace(published, "5030004F8", "5030005F7", 1), "x:6:5: the file says 5 data records, and 4 stand before this line; some were lost or put in"},
		{"two values", sData + "S104003115B5\nS9030000FC\n", "x:2:1: the byte at 00000031 is 15 here and 14 on line 1; strike out one of them"},
		{"cut in a line", ":04003000902BB4" + hexEnd, "x:1:2: the count is 04, so the record should have 16 more digits, and it has 12; compare the line with the original"},
		{"empty", "", "x: the file is empty; copy it again from where it was made"},

		{"another kind of file", "0010: 1", `x:1:1: the file begins with '0'; Intel HEX begins with a colon and S-records with the letter S: is this the right file?`},
		{"letter O", "S1070O3000144ED492", `x:1:6: 'O' is no hexadecimal digit; for zero type 0, not the letter`},
		{"letter l", ":0300300002337Al1", `x:1:16: 'l' is no hexadecimal digit; for one type 1, not the letter`},
		{"a blank at the end", ":00000001FF ", `x:1:12: ' ' is no hexadecimal digit; a record has no blanks, so take it out`},
		{"a digit of half a byte", ":0300300002337A1", "x:1:16: a digit without its fellow: a byte is two digits, so one is missing or too many"},
		{"too short a record", ":0300", "x:1:1: the record has 4 digits; the shortest has 10: count, address, type and check sum"},
		{"too short an S-record", "S30301FF", "x:1:1: the record has 6 digits after S3; the shortest has 12: count, address and check sum"},
		{"no type of Intel HEX", ":0300300602337A18", "x:1:8: no record has the type 06; 00 is data, 01 end, 02 and 04 the base of addresses, 03 and 05 the start"},
		{"type S4, which is reserved", "S4030000FC", "x:1:2: no S-record is of this type; they are S0 to S3 and S5 to S9"},
		{"no type at all", sData + "S", "x:2:1: no S-record is of this type; they are S0 to S3 and S5 to S9"},
		{"the other kind of line", hexData + sData, "x:2:1: the line begins with 'S'; a record of Intel HEX begins with a colon"},
		{"the other kind of line among S-records", sData + hexData, "x:2:1: the line begins with ':'; an S-record begins with the letter S"},
		{"length of a base", ":0100000212EB", "x:1:2: a segment base has 1 data bytes here; it must have 2"},
		{"length of an end", ":0100000112EC", "x:1:2: an end record has 1 data bytes here; it must have 0"},
		{"address of a base", ":020001021200E9", "x:1:4: a segment base has the address 0001; 0000 belongs there"},
		{"data in an end record", "S9040000BB40", "x:1:3: an S9 record has no data, and here it has 1 bytes; compare the line with the original"},
		{"past FFFF without a base", ":02FFFF00AABB9B" + hexEnd, "x:1:4: the record runs past FFFF, and no record of type 02 or 04 before it says where it goes on"},
		{"past the addresses of S1", "S105FFFF0102F9", "x:1:5: the record runs beyond FFFF, the last address that S1 can name; compare the line with the original"},
		{"past all addresses", "S307FFFFFFFF0102F9", "x:1:5: the record runs beyond FFFFFFFF, the last address that S3 can name; compare the line with the original"},
		{"text after the end", hexData + ":00000001FF\n\nbye", "x:4:1: text after the end record of line 2; take it out, or give it a file of its own"},
		{"two starts", ":0400000500003800BF\n:0400000500003801BE\n" + hexData, "x:2:1: the start address is 00003801 here and 00003800 on line 1; strike out one of them"},
		{"two headers", "S004000041BA\nS004000042B9\n" + sData, `x:2:1: the header is "B" here and "A" on line 1; strike out one of them`},
		{"two values, the first line behind in addresses", ":02003100145564\n:020030000200CC\n", "x:2:1: the byte at 00000031 is 00 here and 14 on line 1; strike out one of them"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := hexfile.Read("x", []byte(tt.src))
			if err == nil {
				t.Fatalf("%q was taken: %s", tt.src, show(f))
			}
			if got := strings.TrimSuffix(err.Error(), " (and 1 more errors)"); got != tt.want || f != nil {
				t.Errorf("%q:\ngot  %s\nwant %s", tt.src, got, tt.want)
			}
		})
	}
}

// TestWarns holds what is taken with a warning. The rows marked * are those that Debian's srecord 1.64 takes with a warning too.
func TestWarns(t *testing.T) {
	tests := []struct{ name, src, content, want string }{
		{"no end *", strings.TrimSpace(hexData), "30=02337A", "x:1:1: no end record; the file may have been cut short, so compare its length with the original"},
		{"no header *", sData + "S9030000FC", "30=00144ED4", "x:1:1: no header record"},
		{"a record twice *", hexData + hexData + hexEnd, "30=02337A", "x:2:1: the bytes at 00000030-00000032 were already given, and alike, on line 1"},
		{"a part twice and alike", hexData + ":020032007ABB97" + hexEnd, "30=02337A 33=BB", "x:2:1: the byte at 00000032 was already given, and alike, on line 1"},
		{"within another", ":01003100339B\n" + hexData + hexEnd, "30=02337A", "x:2:1: the byte at 00000031 was already given, and alike, on line 1"},
		{"header with an address *", "S008763330627567736D\n" + sData + "S9030000FC", `30=00144ED4 header="0bugs"`, "x:1:1: the header record has the address 7633, where 0000 belongs; it is not used"},
		{"end with an address", hexData + ":00123401B9\n", "30=02337A", "x:2:1: the end record has the address 1234, where 0000 belongs; it is not taken as a start"},
		{"end of another width", "S0030000FC\n" + sData + "S70500001234B4", "30=00144ED4 start=1234", "x:3:1: S7 ends the file; after S1 records S9 belongs there"},
		{"start twice alike", hexData + ":0400000500003800BF\n:040000030380000076" + hexEnd, "30=02337A start=3800", "x:3:1: the start address 00003800 was already given on line 2"},
		{"header twice alike", "S004000041BA\nS004000041BA\n" + sData + "S9030000FC", `30=00144ED4 header="A"`, "x:2:1: the header was already given, and alike, on line 1"},
		{"nothing to warn of: small letters, CR LF, blank lines", ":0300300002337a1e\r\n\r\n:00000001ff\r\n\r\n", "30=02337A", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := hexfile.Read("x", []byte(tt.src))
			if err != nil {
				t.Fatalf("%q: %v", tt.src, err)
			}
			got := ""
			if len(f.Warnings) > 0 {
				got = f.Warnings.Error()
			}
			if got != tt.want || show(f) != tt.content {
				t.Errorf("%q:\ngot  %s, %s\nwant %s, %s", tt.src, show(f), got, tt.content, tt.want)
			}
		})
	}
}
