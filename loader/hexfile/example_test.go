package hexfile_test

import (
	"fmt"

	"coldstart/loader/hexfile"
)

func ExampleRead() {
	f, err := hexfile.Read("hdr.s19", []byte("S00600004844521B\nS107003000144ED492\nS9030030CC\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, start %04X\n", f.Header, f.Start)
	for a, b := range f.All() {
		fmt.Printf("%04X %02X\n", a, b)
	}
	_, err = hexfile.Read("copied.hex", []byte(":020000024A2902\n"))
	fmt.Println(err)
	// Output:
	// HDR, start 0030
	// 0030 00
	// 0031 14
	// 0032 4E
	// 0033 D4
	// copied.hex:1:14: the check sum is 02, and the bytes of the record make 89; compare the line with the original
}

func ExampleAppendHex() {
	text, err := hexfile.AppendHex(nil, &hexfile.File{Segments: []hexfile.Segment{{Address: 0x12030, Data: []byte{0x90, 0x2B}}}})
	fmt.Print(string(text))
	fmt.Println(err)
	// Output:
	// :020000021000EC
	// :02203000902BF3
	// :00000001FF
	// <nil>
}
