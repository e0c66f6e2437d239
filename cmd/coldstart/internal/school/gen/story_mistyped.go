package main

import (
	"fmt"
	"strings"
)

// A typo is one slip of the hand in the machine file: on a page of the handbook, what is right, and what was typed.
type typo struct {
	page, order string
	right, was  string
	lines       int // of the order that it is in
}

// typos are the slips of story 3. The last one no look at the file can find: it says something, and says it consistently.
var typos = []typo{
	{"3-14", "enter a", "store[page:a] <- extend(P, 18)", "store[page:a] <- P", 1},
	{"3-17", "jump-minus d", "1100 0010 dddddddddd", "1100 0011 dddddddddd", 1},
	{"3-15", "link d", "P + sign(d, 15)", "P - sign(d, 15)", 2},
}

// mistyped is story 3: the office's machine file with three slips in it.
func mistyped(t *teller) (string, []file, error) {
	src, err := t.open(machineFile)
	if err != nil {
		return "", nil, err
	}
	lines := strings.Split(string(src), "\n")
	var a prose
	a.say("Three slips, by line of %s and page of the handbook:", machineFile)
	for _, slip := range typos {
		a.say("")
		found, in := 0, false
		for i, l := range lines {
			if strings.HasPrefix(l, "order ") {
				in = strings.HasPrefix(l, "order     "+slip.order+" ") && strings.HasSuffix(l, "page "+slip.page)
			}
			if !in || !strings.Contains(l, slip.right) {
				continue
			}
			found++
			lines[i] = strings.Replace(l, slip.right, slip.was, 1)
			a.say("  line %d, page %s, %s: %s", i+1, slip.page, slip.order, slip.right)
			a.say("  where was typed: %s", slip.was)
		}
		if found != slip.lines {
			return "", nil, fmt.Errorf("%q stands in %d lines of order %s on page %s, want %d", slip.right, found, slip.order, slip.page, slip.lines)
		}
	}
	a.say("")
	a.say("The first is a width: P has 15 bits and a word has 18. The second is an overlap")
	a.say("with jump-plus, four orders in a row of which two read alike; `proof` names the")
	a.say("later of them, and the page shows which of the two is typed wrong. The third is")
	a.say("the sign of a distance; it is right nowhere but in the program, whose links then")
	a.say("end where no order is. `proof` tells it in the office's folder, from the image.")
	return a.String(), []file{{machineFile, []byte(strings.Join(lines, "\n"))}}, nil
}
