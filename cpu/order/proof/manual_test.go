package proof

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu/order/syntax"
)

// millrace is the machine of the manual: each example is tried on it alone, without the statements of the machine that say
// the same things otherwise.
const millrace = `
machine   "Millrace 18"
numbers   octal, bit 0 at right
word      18 bits, twos complement
address   15 bits
counter   P: 15 bits, holds next order
clock     2.5 us
register  A: 18 bits
register  B: 18 bits
register  X1: 18 bits
register  X2: 18 bits
register  page: 4 bits
register  saved: 15 bits
register  reason: 3 bits
flip-flop minus
flip-flop zero
flip-flop carry
flip-flop enable
flip-flop check
flip-flop guard
flip-flop mate
keys      entry: 18 bits, at start 000000
store     ST0 000000-007777
  parity  right odd over 8-0, left odd over 17-9
store     WS1 077400-077777
plug-in   CH2 "channels"
plug-in   LD1 "lamps"
plug-in   RG1 "registers"
plug-in   RG2 "registers"
plug-in   AL1 "adder"
plug-in   TM1 "timers"
channel   TC1: code 1, 18 bits
timer     sanity: 1600 ms, trap insane
trap      insane "not restarted in time"
  does    halt
trap      hasty "restarted too early"
  does    halt
trap      no-reply "nobody answers"
  does    halt
group     r: 00 A, 01 B, 10 X1, 11 X2
choice    i: 0 -, 1 through
order     clear-all
  pattern 1110 1000 00 00000000
  does    A, B <- 0, 0
order     clear-b
  pattern 1110 1001 00 00000000
  does    B <- 0
mode      reached
  does    let at = page:a
`

// few are for examples that say how wide the words of the machine are: nothing else of it would fit.
const few = `
machine   "Millrace"
numbers   octal, bit 0 at right
word      16 bits, twos complement
address   15 bits
counter   P: 15 bits, holds next order
clock     1 us
store     ST0 00-37
order     nothing
  pattern *
  does
`

// examples gives the blocks of the manual that are set in; the grammar is none.
func examples() (blocks []string) {
	text, _, _ := strings.Cut(syntax.Manual(), "\n# Grammar\n")
	text = regexp.MustCompile(`(?m)^  - .*\n(    .*\n)*`).ReplaceAllString(text, "") // lists are set in too
	for _, part := range regexp.MustCompile(`(?m)(^    .*\n)+`).FindAllString(text, -1) {
		blocks = append(blocks, strings.ReplaceAll("\n"+part, "\n    ", "\n")[1:])
	}
	return blocks
}

// heads finds the keyword and the names of a statement's head line.
var heads = regexp.MustCompile(`(?m)^([a-z-]+) +([^:"\n]*)`)

// declared is what a text declares: its keywords, with names where one keyword may stand often.
func declared(text string) map[string]bool {
	all := map[string]bool{}
	for _, m := range heads.FindAllStringSubmatch(text, -1) {
		switch m[1] {
		case "register", "flip-flop", "keys":
			for _, n := range regexp.MustCompile(`[A-Za-z0-9-]+`).FindAllString(m[2], -1) {
				all[n] = true
			}
		case "trap", "timer", "channel", "plug-in", "group", "choice", "order", "mode":
			all[m[1]+" "+strings.Fields(m[2])[0]] = true
		default:
			all[m[1]] = true
		}
	}
	return all
}

// around is the machine that an example is tried on, less what the example says itself.
func around(example string) string {
	has, base := declared(example), millrace
	says := func(k string) bool { return has[k] }
	if slices.ContainsFunc([]string{"numbers", "word", "address", "unit", "orders", "counter"}, says) && !strings.Contains(example, "order ") {
		base = fitted(example)
	}
	var left strings.Builder
	for _, s := range regexp.MustCompile(`(?m)^\S.*\n(^  .*\n)*`).FindAllString(base, -1) {
		overlap := false
		for what := range declared(s) {
			overlap = overlap || has[what]
		}
		if !overlap {
			left.WriteString(s)
		}
	}
	return left.String()
}

// fitted is few, as wide as an example says.
func fitted(example string) string {
	number := func(pattern, usual string) string {
		if m := regexp.MustCompile(`(?m)^` + pattern).FindStringSubmatch(example); m != nil {
			return m[1]
		}
		return usual
	}
	widths := map[string]int{"8": 8, "16": 16}
	address := number(`(?:address|counter +P:) +(\d+)`, "15")
	order := widths[number(`word +(\d+)`, "16")]
	base := strings.ReplaceAll(few, "15 bits", address+" bits")
	if strings.Contains(example, "orders ") {
		order /= 2
		base = strings.Replace(base, "P: 15", "P: 16", 1)
	}
	return strings.Replace(base, "pattern *", "pattern "+strings.Repeat("*", order), 1)
}

// Every example of the manual fits a machine, and the worked examples in it come out.
func TestManualExamplesRun(t *testing.T) {
	checks := 0
	all := examples()
	for _, block := range all {
		base := around(block)
		r, err := Read("example", []byte(base+block))
		if err != nil {
			t.Errorf("%v\n%s", err, block)
			continue
		}
		for _, f := range r.Findings {
			if f.Kind == Wrong || f.Kind == Failed || f.Kind == NotTried { // counts are those of a whole handbook
				t.Errorf("line %d, %v: %s\n%s", f.Line-strings.Count(base, "\n"), f.Kind, f.Text, block)
			}
		}
		checks += r.Checks
	}
	if len(all) < 50 || checks < 12 {
		t.Errorf("%d examples, %d checks in them; most of them were not found", len(all), checks)
	}
}
