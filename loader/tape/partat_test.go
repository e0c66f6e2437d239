package tape_test

import (
	"strings"
	"testing"

	"coldstart/loader/tape"
)

// Every word of a block has the name of its part, whatever the length of the data.
func TestPartAt(t *testing.T) {
	l, err := tape.ReadLayout("x.layout", []byte("layout x\nnumbers octal\nword 12 bits\nbytes 2 of 6 bits make 1 word high first\nmark 5252\nfield number\n"+
		"field address 2 words high first\nfield count\ndata count words up to 16\nfield spare\nsum add over data\n"))
	if err != nil {
		t.Fatal(err)
	}
	for n, data := range map[int]string{0: "", 2: "data, data, "} {
		var names []string
		for k := range l.Length(n) {
			names = append(names, l.PartAt(k, l.Length(n)))
		}
		want := "mark, block number, load address, load address, count, " + data + "spare word, sum"
		if got := strings.Join(names, ", "); got != want {
			t.Errorf("%d words of data: %s; want %s", n, got, want)
		}
	}
}
