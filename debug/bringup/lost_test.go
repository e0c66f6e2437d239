package bringup

import (
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// Where a missing block loads is told by its neighbours only where they leave room for just the blocks that are missing.
func TestBetween(t *testing.T) {
	block := func(number int, addr memory.Addr, words int) *tape.Block {
		b := &tape.Block{Number: number, Addressed: true}
		b.Addr, b.Words = addr, make([]memory.Word, words)
		return b
	}
	for _, test := range []struct {
		name        string
		low, high   *tape.Block
		first, last memory.Addr
		ok          bool
	}{
		{"one missing", block(3, 0o1000, 64), block(5, 0o1200, 64), 0o1100, 0o1177, true},
		{"three missing", block(2, 0o1000, 64), block(6, 0o1400, 64), 0o1200, 0o1277, true},
		{"too little room", block(3, 0o1000, 64), block(5, 0o1100, 64), 0, 0, false},
		{"too much room", block(3, 0o1000, 64), block(5, 0o1400, 64), 0, 0, false},
		{"the higher one loads below", block(3, 0o1000, 64), block(5, 0o600, 64), 0, 0, false},
		{"of two lengths", block(3, 0o1000, 64), block(5, 0o1200, 32), 0, 0, false},
		{"the last", block(3, 0o1000, 64), nil, 0, 0, false},
		{"the first", nil, block(5, 0o1000, 64), 0, 0, false},
	} {
		first, last, ok := between(test.low, test.high, 4, 1)
		if ok != test.ok || ok && (first != test.first || last != test.last) {
			t.Errorf("%s: %o-%o, %v; want %o-%o, %v", test.name, first, last, ok, test.first, test.last, test.ok)
		}
	}
}
