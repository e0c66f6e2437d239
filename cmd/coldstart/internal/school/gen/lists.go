package main

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"coldstart/cpu/assemble"
	"coldstart/memory"
)

// areasList says which addresses hold program, tables or office data. A run of one kind from one text is one area, and has
// the name of its text.
func areasList(p *assemble.Program, g memory.Geometry) []byte {
	var out bytes.Buffer
	fmt.Fprint(&out, "# What the areas of store hold, as the order text has it.\n\n")
	for i := 0; i < len(p.Words); {
		n := i + 1
		for n < len(p.Words) && alike(p.Words[n-1], p.Words[n]) {
			n++
		}
		first, last := p.Words[i], p.Words[n-1]
		fmt.Fprintf(&out, "%-8s %s-%s %q\n", kindOf(first), g.Style.Addr(first.Addr, g.AddrBits), g.Style.Addr(last.Addr, g.AddrBits),
			strings.TrimSuffix(first.At.Filename, ".order"))
		i = n
	}
	out.WriteString(workingText)
	return out.Bytes()
}

// workingText is what no tape holds: store that the program writes as it works, by the addresses of the order text.
const workingText = `
# What is written as the office works, and stands on no tape.
working  000000-000777 "base store"
working  032000-032477 "lines to print, tasks"
map      032500-032537 "links"
working  032540-034077 "orders, pegs, states"
map      034100-034107 "junctors"
working  034110-037777 "calls, what is typed, spare"
`

// alike is whether two words belong to one area.
func alike(a, b assemble.Word) bool {
	return b.Addr == a.Addr+1 && a.Order == b.Order && a.At.Filename == b.At.Filename
}

// kindOf is the kind of area a word belongs to.
func kindOf(w assemble.Word) string {
	switch {
	case w.Order:
		return "program"
	case w.At.Filename == officeData, w.At.Filename == directory:
		return "data"
	}
	return "table"
}

// chaseText is the chase list, with labels between braces where their addresses belong. A label may have words added or
// taken away, in octal.
const chaseText = `# The moving lamp, and the milestones of a bring-up in the order they are met.

# One lamp moves left along row 000760, 48 ms at each place, from place 15 round to place 0.
chase     walk row 000760 places 0-15 width 1 lit way left ring dwell 48 ms tolerance 4 ms laps 3

milestone starter  required at {starter} "wired starter entered"
milestone stage    required at {second-stage} "second stage in store, sum right"
milestone working  required at {tape-begins} "working store tested"
milestone block    required writes {resident} "first word of the resident program in store"
milestone chase    required chase walk "CHASE SEEN"
milestone loaded   required writes {office-words-end-1} "last word of office data in store"
milestone resident required at {resident} "resident program entered"
milestone orders   required at {orders-checked} "order check passed"
milestone tables   required at {tables-in-order} "sums of all tables taken"
milestone line     required prints "WENDLE FERRY UP" "first line printed"
milestone idle     required at {idle} "idle loop reached"
milestone held     required holds {scan-lines}-{lines-end-1} {idle}-{calls-end-1} for 1 s "idle loop held for 1 s"
`

// place is a label between braces, and how many words on from it, in octal.
var place = regexp.MustCompile(`\{([a-z0-9-]*[a-z])(-[0-7]+)?\}`)

// chaseList is the chase list with the addresses of this program.
func chaseList(p *assemble.Program, g memory.Geometry) ([]byte, error) {
	var missing []string
	list := place.ReplaceAllStringFunc(chaseText, func(text string) string {
		m := place.FindStringSubmatch(text)
		a, ok := p.Label(m[1])
		if !ok {
			missing = append(missing, m[1])
		}
		var less memory.Addr
		fmt.Sscanf(m[2], "-%o", &less)
		return g.Style.Addr(a-less, g.AddrBits)
	})
	if len(missing) > 0 {
		return nil, fmt.Errorf("the chase list names labels that no order text has: %s; name others, or add them", strings.Join(missing, ", "))
	}
	return []byte(list), nil
}
