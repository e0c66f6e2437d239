package hexfile

import (
	"cmp"
	"fmt"
	"slices"
)

// merge puts the segments read in the order of their addresses. Bytes given twice alike are kept once, with a warning;
// bytes given two values are an error that names both lines.
func (r *reader) merge() {
	slices.SortFunc(r.data, func(a, b Segment) int {
		return cmp.Or(cmp.Compare(a.Address, b.Address), cmp.Compare(a.Line, b.Line))
	})
	var all []Segment
	var end uint64 // behind the last byte of all
	for _, s := range r.data {
		if uint64(s.Address) < end {
			r.compare(all, s)
			s = s.from(end)
		}
		if len(s.Data) > 0 {
			all = append(all, s)
			end = s.end()
		}
	}
	r.file.Segments = all
}

// from gives the part of s from address a on, which s begins before.
func (s Segment) from(a uint64) Segment {
	given := min(a-uint64(s.Address), uint64(len(s.Data)))
	return Segment{Address: s.Address + uint32(given), Data: s.Data[given:], Line: s.Line}
}

// compare notes how s agrees with the bytes of all that it gives again. One note is enough for a pair of lines.
func (r *reader) compare(all []Segment, s Segment) {
	for i := len(all) - 1; i >= 0; i-- {
		old := all[i]
		if old.Address < s.Address {
			if old.end() <= uint64(s.Address) {
				return
			}
			old = old.from(uint64(s.Address))
		}
		r.agree(old, s)
	}
}

// agree notes how two segments agree where both have bytes; old begins at or behind s.
func (r *reader) agree(old, s Segment) {
	if uint64(old.Address) >= s.end() {
		return
	}
	again := s.Data[old.Address-s.Address:]
	first, second := old.Line, s.Line
	was, is := old.Data, again
	if first > second {
		first, second = second, first
		was, is = is, was
	}
	r.line = second
	for i := range min(len(was), len(is)) {
		if was[i] != is[i] {
			r.errorf(0, "the byte at %08X is %02X here and %02X on line %d; strike out one of them",
				old.Address+uint32(i), is[i], was[i], first)
			return
		}
	}
	r.warnf("%s already given, and alike, on line %d", span(old.Address, min(len(was), len(is))), first)
}

// span says which n bytes from a on are meant.
func span(a uint32, n int) string {
	if n == 1 {
		return fmt.Sprintf("the byte at %08X was", a)
	}
	return fmt.Sprintf("the bytes at %08X-%08X were", a, a+uint32(n-1))
}
