package overlay

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"coldstart/memory"
)

// moved is how a reading names a shift.
var moved = regexp.MustCompile(`^([0-9]{1,6}) address(?:es)? too (high|low)(?: from ([0-9A-Za-z]+) on)?$`)

// As gives the dump as it was before it was turned on its way, for a store of geometry g; reading is the Name of a Reading
// that is no address line, whose words are gone. The dump itself is not altered. Parity columns go with the words they stand
// beside. The error, one sentence, says which part of the reading is none.
func (d *Dump) As(g memory.Geometry, reading string) (*Dump, error) {
	t, from := trial{turning: turnings[0]}, memory.Addr(0)
	for _, part := range strings.Split(reading, ", ") {
		if err := t.accept(&g, part, &from); err != nil {
			return nil, err
		}
	}
	out := &Dump{Words: memory.NewImage(g), Columns: map[memory.Addr]memory.Word{}}
	for area, a := range words(&g) {
		at, turned := a, t
		if a < from {
			turned = trial{turning: turnings[0]}
		}
		at += memory.Addr(turned.shift * g.Step())
		if from > 0 && a >= from && at < from {
			continue // it was lost where the rest began to move
		}
		w, origin, ok := d.Words.At(at)
		if !ok || out.Words.Set(a, turned.restore(w, area.Width), origin) != nil {
			continue
		}
		if columns, read := d.Columns[at]; read && len(area.Parity) > 0 {
			out.Columns[a] = columns
		}
	}
	return out, nil
}

// accept takes one part of the name of a reading into t.
func (t *trial) accept(g *memory.Geometry, part string, from *memory.Addr) error {
	known := slices.IndexFunc(turnings, func(k turning) bool { return k.name == part && part != "" })
	m := moved.FindStringSubmatch(part)
	switch {
	case known > 0 && t.turning.name == "":
		t.turning = turnings[known]
		if t.turning.fits != nil && slices.ContainsFunc(g.Areas, func(a memory.Area) bool { return !t.turning.fits(a.Width) }) {
			return fmt.Errorf("words of this store cannot be read with %s: they have not that many bits", part)
		}
		return nil
	case part == inverted && !t.inverted:
		t.inverted = true
		return nil
	case m != nil && t.shift == 0:
		t.shift, _ = strconv.Atoi(m[1]) // at most six digits
		if m[2] == "low" {
			t.shift = -t.shift
		}
		if m[3] != "" {
			v, err := g.Style.Parse(m[3])
			*from = memory.Addr(v)
			return err
		}
		return nil
	}
	return fmt.Errorf("%q is no way to read a dump; say one as the report names it, such as %q", part, turnings[1].name)
}
