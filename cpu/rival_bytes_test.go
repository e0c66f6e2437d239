package cpu_test

import (
	"encoding/binary"
	"math/bits"

	"coldstart/memory"
)

// A byteRival is to RV32I what rival is to the training office's processor: one switch, written for speed.
type byteRival struct {
	x     [32]uint32
	pc    uint32
	store []byte // from base on
	base  uint32
	at    int64 // orders done, which is the time of a machine without a clock
	ended bool
}

// newByteRival takes over the words of a store from an address on.
func newByteRival(s *memory.Store, base, length uint32) *byteRival {
	r := &byteRival{store: make([]byte, length), base: base, pc: base}
	for i := uint32(0); i < length; i += 4 {
		_, w, _ := s.Peek(memory.Addr(base + i))
		binary.LittleEndian.PutUint32(r.store[i:], uint32(w))
	}
	return r
}

// run takes up to n orders and gives how many it took.
func (r *byteRival) run(n int64) int64 {
	for i := int64(0); i < n; i++ {
		if r.ended {
			return i
		}
		at := r.pc - r.base
		if at&3 != 0 || uint64(at)+4 > uint64(len(r.store)) {
			r.ended = true
			continue
		}
		w := binary.LittleEndian.Uint32(r.store[at:])
		r.pc += 4
		r.order(w)
		r.x[0] = 0
		r.at++
	}
	return n
}

// order carries out the order word w; the place counter is behind it.
func (r *byteRival) order(w uint32) {
	d, s, t := &r.x[w>>7&31], r.x[w>>15&31], r.x[w>>20&31]
	number := uint32(int32(w) >> 20)
	switch w >> 2 & 31 {
	case 0:
		r.load(d, w>>12&7, s+number)
	case 4:
		r.compute(d, w>>12&7, s, number, w>>12&7 == 5 && w>>30&1 == 1)
	case 5:
		*d = r.pc - 4 + w&^0xFFF
	case 8:
		r.keep(w>>12&7, s+(uint32(int32(w)>>25)<<5|w>>7&31), t)
	case 12:
		r.compute(d, w>>12&7, s, t, w>>30&1 == 1)
	case 13:
		*d = w &^ 0xFFF
	case 24:
		if meets(w>>12&7, s, t) {
			r.pc += (uint32(int32(w)>>31)<<12 | w<<4&0x800 | w>>20&0x7E0 | w>>7&0x1E) - 4
		}
	case 25:
		*d, r.pc = r.pc, (s+number)&^1
	case 27:
		*d = r.pc
		r.pc += (uint32(int32(w)>>31)<<20 | w&0xFF000 | w>>9&0x800 | w>>20&0x7FE) - 4
	default:
		r.ended = true
	}
}

// meets is whether a branch of a function is taken.
func meets(f, s, t uint32) bool {
	var met bool
	switch f >> 1 {
	case 0:
		met = s == t
	case 2:
		met = int32(s) < int32(t)
	case 3:
		met = s < t
	}
	return met != (f&1 == 1)
}

// load reads from store.
func (r *byteRival) load(d *uint32, f, a uint32) {
	i := uint64(a - r.base)
	if i+4 > uint64(len(r.store)) {
		r.ended = true
		return
	}
	from := r.store[i : i+4]
	switch f {
	case 0:
		*d = uint32(int8(from[0]))
	case 1:
		*d = uint32(int16(binary.LittleEndian.Uint16(from)))
	case 2:
		*d = binary.LittleEndian.Uint32(from)
	case 4:
		*d = uint32(from[0])
	case 5:
		*d = uint32(binary.LittleEndian.Uint16(from))
	}
}

// keep writes to store.
func (r *byteRival) keep(f, a, w uint32) {
	i := uint64(a - r.base)
	if i+4 > uint64(len(r.store)) {
		r.ended = true
		return
	}
	to := r.store[i : i+4]
	switch f {
	case 0:
		to[0] = byte(w)
	case 1:
		binary.LittleEndian.PutUint16(to, uint16(w))
	case 2:
		binary.LittleEndian.PutUint32(to, w)
	}
}

// compute is what two numbers give by a function, the other one of those that share it where other says so.
func (r *byteRival) compute(d *uint32, f, x, y uint32, other bool) {
	switch f {
	case 0:
		if other {
			y = -y
		}
		*d = x + y
	case 1:
		*d = x << (y & 31)
	case 2:
		_, less := bits.Sub32(x^1<<31, y^1<<31, 0)
		*d = less
	case 3:
		_, *d = bits.Sub32(x, y, 0)
	case 4:
		*d = x ^ y
	case 5:
		if other {
			*d = uint32(int32(x) >> (y & 31))
		} else {
			*d = x >> (y & 31)
		}
	case 6:
		*d = x | y
	case 7:
		*d = x & y
	}
}
