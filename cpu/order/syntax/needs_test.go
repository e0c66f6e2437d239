package syntax

import (
	"strings"
	"testing"
)

// needs is what a handbook may ask of a machine file, and the text of the manual that carries it: an example, which other
// tests run, or a rule. What is a device's or the pair's is not here: request lines, serial and tape timing, scanners and
// pulsers stand in device lists, and no file has yet what one processor does to its mate.
var needs = []struct{ need, text string }{
	{"word width, by store and register", "store     ST0 000-377, ST1 400-777: 9 bits"},
	{"number style and grouping", "numbers   octal, bit 0 at right, groups of 3"},
	{"bits from either end, from 0 or 1", "numbers   hexadecimal, bit 1 at left"},
	{"complements", "word      8 bits, ones complement"},
	{"addresses of less than a word, either end first", "unit      8 bits, low end first"},
	{"parity of parts, and over the address", "parity  whole odd over 17-0 and address"},
	{"wrong parity on purpose", "wrong-parity[page:a, left] <- A"},
	{"check matrix that corrects", "corrects once"},
	{"letter patterns, orders of several words", "pattern 1111 0111 rr ******** / vvvvvvvvvvvvvvvvvv"},
	{"two orders in a word", "orders    2 in a word, left first"},
	{"page and offset", "carry(r, store[page:a])"},
	{"relative to this order or the next", "P <- P + sign(d, 15)"},
	{"indirect chains with a limit", "repeat 16 times while more = 1"},
	{"places that count up after use", "store[at] <- store[at] + extend(n, 18)"},
	{"skip an order, however long", "P <- after(P)"},
	{"condition flip-flops", "minus, zero <- r.17, r = 0"},
	{"double-length shifts, through a flip-flop", "A:B <- left(A:B, 1)"},
	{"insert under mask", "A <- (A and not B) or (store[page:a] and B)"},
	{"find a one", "leading(x), trailing(x)"},
	{"multiply and divide steps", "B.0, carry <- carry, A.17"},
	{"decimal digits, a dialled 0 as ten", "add-decimal(A.15-0, B.15-0, carry)"},
	{"interrupts: level, mask, saved place, delay", "after   1 orders of enable"},
	{"traps, each maskable, with a reason", "saved, reason <- here, 1"},
	{"trap in trap", "A trap inside a trap springs the trap again"},
	{"sanity timer with a too-early rule", "early 100 ms trap hasty"},
	{"keys and modes", "keys      entry: 18 bits, at start 000000"},
	{"start-up; what it does not name is unknown", "does    P, page <- 77400, 0"},
	{"channels by code and by address", "channel   TC2: code 2, 18 bits, at 076000, signs 4, plug-in CH2"},
	{"mirrored writes", "mirror    000000-003777 when mate = 1, parity remade"},
	{"protection by range, by plug-in and by range register", "protect   ST0 when guard = 1 and at < X1.14-0"},
	{"cost, and more of it", "spend 3"},
	{"undefined orders by group", "\"acts as clear-b\""},
	{"halts, with and without resume", "halt for good"},
	{"tape words direct to store, stealing cycles", "steals 1 cycle"},
	{"interrupts: requests that are held", "sets called by sign 0 and typed by sign 5"},

	{"rule 1: overlap is an error unless one yields", "except  clear-all, clear-b"},
	{"rule 2: ignored, must be, silent", "must    n /= 0"},
	{"rule 3: letter patterns first", "pattern 0001 rr i aaaaaaaaaaa"},
	{"rule 3: ranges second, with the numbering", "A, more <- store[A.14-0], A.17"},
	{"rule 3: the other way round is refused", "is typed from left to right, in whichever numbering"},
	{"rule 3: a ruler drawing back", "proof --drawing load-long shows what was understood"},
	{"rule 4: a line happens together", "does    A, B <- B, A"},
	{"rule 5: a jump to itself", "check   \"1011 100 11111111111\" reads \"jump-near 00000\""},
	{"rule 6: order of ends in store", "which end of a word stands at the word's first address, low or high"},
	{"rule 7: true-low", "inverted words and sign 2 and sign 3"},
	{"rule 8: page, issue, addendum, doubt", "order     set-x                  page A-4 issue 2 replaces page 3-10"},
	{"rule 9: checks in the file", "check   B = 17, store[12] = 3 : B = 0, store[12] = 3"},
	{"rule 10: one typing for several orders", "each    c: 00 zero = (zero = 1), 01 not-zero = (zero = 0)"},
	{"rule 11: bounds", "brackets and blocks nest at most 200 deep"},
	{"rule 12: chips", "U19 for right parity, U20 for left parity"},
	{"rule 13: errors with place, word and the nearest right one", "its line and column, what was typed there, and what was expected or the nearest right word: the first ten"},
	{"rule 14: a page that cannot be read", "search-list            page 3-30 ?"},
}

// TestManualHasNeeds holds that the manual shows how each is written. That errors have the form of rule 13 is TestErrorsInFile.
func TestManualHasNeeds(t *testing.T) {
	manual := strings.Join(strings.Fields(Manual()), " ")
	for _, n := range needs {
		if !strings.Contains(manual, strings.Join(strings.Fields(n.text), " ")) {
			t.Errorf("%s: the manual does not have %q", n.need, n.text)
		}
	}
}
