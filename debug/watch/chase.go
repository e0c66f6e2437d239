package watch

import (
	"fmt"
	"math/bits"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/panel"
	"coldstart/memory"
)

// A Way is which way lamps move along the places of a chase.
type Way uint8

// The ways there are, as seen from in front of the panel.
const (
	Left Way = iota
	Right
	ThereAndBack // from the rightmost place to the leftmost and back, each end held once a lap
)

var wayNames = [...]string{Left: "left", Right: "right", ThereAndBack: "there-and-back"}

// String is the way as a list writes it.
func (w Way) String() string { return wayNames[w] }

// A Chase describes lamps that move along places, as a record of a list has it.
type Chase struct {
	Name      string
	Places    []panel.Lamp // rightmost first, at most 64
	Width     int          // how many lamps move, side by side
	Dark      bool         // the lamps that move are dark, among lit ones
	Way       Way
	Ring      bool     // lamps that leave one end come in at the other, even if several move
	Dwell     cpu.Time // from one place being reached to the next
	Tolerance cpu.Time // how far the Dwell may be off, and the longest gap between places that is looked over
	Laps      int      // how many whole laps without a fault make it seen

	names   []string // of the places: bit numbers, with their row where there are several
	bits    []string // of the places: bit numbers alone
	chips   []string // that hold the places: plug-in and chip, "" where none is named
	windows []set    // the places of the moving lamps, by how far left they are
	path    []int    // the windows of one lap, in order
}

// A set is some places of a chase: bit i is Places[i].
type set uint64

// count is how many places are in the set.
func (s set) count() int { return bits.OnesCount64(uint64(s)) }

// prepare works out the windows and the path, once the rest is known. There are at least three windows.
func (c *Chase) prepare() {
	n := len(c.Places)
	last := n - c.Width
	if c.Ring {
		last = n - 1
	}
	for first := 0; first <= last; first++ {
		var w set
		for i := range c.Width {
			w |= 1 << ((first + i) % n)
		}
		c.windows = append(c.windows, w)
	}
	for i := range c.windows {
		if c.Way == Right {
			i = len(c.windows) - 1 - i
		}
		c.path = append(c.path, i)
	}
	if c.Way == ThereAndBack {
		for i := len(c.windows) - 2; i > 0; i-- {
			c.path = append(c.path, i)
		}
	}
}

// window is which window a set is; -1 where it is none.
func (c *Chase) window(s set) int {
	for i, w := range c.windows {
		if w == s {
			return i
		}
	}
	return -1
}

// after is where on the path window b is reached from window a in k steps; -1 where it is not.
func (c *Chase) after(a, b, k int) int {
	for i, w := range c.path {
		if j := (i + k) % len(c.path); w == a && c.path[j] == b {
			return j
		}
	}
	return -1
}

// steps is the fewest steps, at least one, that lead along the path from window a to window b, and where on the path that
// ends.
func (c *Chase) steps(a, b int) (k, end int) {
	for k = 1; k < len(c.path); k++ {
		if end = c.after(a, b, k); end >= 0 {
			return k, end
		}
	}
	return k, c.after(a, b, k)
}

// between is the places of the windows that the path has between windows a and b; none if it leads from one to the other
// only by more than half a lap.
func (c *Chase) between(a, b int) (places set) {
	k, end := c.steps(a, b)
	if 2*k > len(c.path)+2 {
		return 0
	}
	for i := 1; i < k; i++ {
		places |= c.windows[c.path[(end-i+len(c.path))%len(c.path)]]
	}
	return places
}

// lap is how long one lap takes.
func (c *Chase) lap() cpu.Time { return cpu.Time(len(c.path)) * c.Dwell }

// update gives the places in a set after the word of one row has changed. For lamps that move dark the word is turned
// over, so that the places in a set are always the ones that move.
func (c *Chase) update(s set, row memory.Addr, w memory.Word) set {
	if c.Dark {
		w = ^w
	}
	for i, p := range c.Places {
		if p.Row.Addr == row {
			s = s&^(1<<i) | set(w>>p.Bit&1)<<i
		}
	}
	return s
}

// has is whether a row holds places of the chase.
func (c *Chase) has(row memory.Addr) bool {
	for _, p := range c.Places {
		if p.Row.Addr == row {
			return true
		}
	}
	return false
}

// place names the places in a set: place 6; places 3, 4.
func (c *Chase) place(s set) string {
	var all []string
	for i := range c.Places {
		if s>>i&1 == 1 {
			all = append(all, c.names[i])
		}
	}
	switch len(all) {
	case 0:
		return "no place"
	case 1:
		return "place " + all[0]
	}
	return "places " + strings.Join(all, ", ")
}

// say words a phrase by what the moving lamps are: lit or dark.
func (c *Chase) say(lit, dark string) string {
	if c.Dark {
		return dark
	}
	return lit
}

// plural turns what one place does into what several do.
var plural = strings.NewReplacer("stays", "stay", "lights", "light", "goes", "go", "does", "do")

// do words what the places in a set do, by what the moving lamps are.
func (c *Chase) do(s set, lit, dark string) string {
	text := c.say(lit, dark)
	if s.count() > 1 {
		text = plural.Replace(text)
	}
	return c.place(s) + " " + text
}

// String describes the chase as it should look: row 000760, one lamp moving left, 16 places, 48 ms each.
func (c *Chase) String() string { return c.looks(c.Dwell) }

// looks describes the chase with a dwell that was measured.
func (c *Chase) looks(dwell cpu.Time) string {
	row := "named lamps"
	if first := c.Places[0].Row; c.oneRow() {
		row = "row " + first.Name
	}
	lamps := "one " + c.say("lamp", "dark lamp")
	if c.Width > 1 {
		lamps = fmt.Sprintf("%d %s", c.Width, c.say("lamps", "dark lamps"))
	}
	way := c.Way.String()
	if c.Way == ThereAndBack {
		way = "there and back"
	}
	return fmt.Sprintf("%s, %s moving %s, %d places, %v each", row, lamps, way, len(c.Places), brief(dwell))
}

// oneRow is whether all places are in one row.
func (c *Chase) oneRow() bool {
	for _, p := range c.Places {
		if p.Row.Addr != c.Places[0].Row.Addr {
			return false
		}
	}
	return true
}
