package cpu_test

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"testing"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// TestRV32IAgreesWithModel runs 100,000 orders of random programs under the machine file and under a plain reading of the
// manual, and holds all registers against each other after every order, and the store after every program.
func TestRV32IAgreesWithModel(t *testing.T) {
	c := read(t, rv32i, "twos complement")
	var x []*order.Register
	for n := range 32 {
		x = append(x, c.Register(fmt.Sprintf("x%d", n)))
	}
	most := 100_000
	if testing.Short() {
		most /= 10
	}
	for seed, done := uint64(1), 0; done < most; seed++ {
		model, im := rvProgram(c, seed)
		registers := make([]memory.Word, len(c.Registers))
		for n, r := range x {
			registers[r.Number] = memory.Word(model.x[n])
		}
		m, store := rvMachine(t, c, im, registers)
		for model.pc < origin+rvLength*4 {
			at, w := model.pc, model.load(model.pc, 4)
			m.Step()
			model.step()
			done++
			for n, want := range model.x {
				if got := uint32(m.Value(x[n])); got != want {
					t.Fatalf("program %d, %s: x%d = %08X, the model has %08X", seed, rvWhere(c, at, w), n, got, want)
				}
			}
			if got := uint32(m.Place()); got != model.pc {
				t.Fatalf("program %d, %s: pc = %08X, the model has %08X", seed, rvWhere(c, at, w), got, model.pc)
			}
		}
		for a := uint32(origin); a < origin+rvReach; a += 4 {
			if got, _, _ := store.Peek(memory.Addr(a)); uint32(got) != model.load(a, 4) {
				t.Fatalf("program %d: store %X = %08X, the model has %08X", seed, a, got, model.load(a, 4))
			}
		}
	}
}

// rvProgram makes a random program, with random words after it and random registers, as a model and as an image.
func rvProgram(c *order.Code, seed uint64) (*rvModel, *memory.Image) {
	rng := rand.New(rand.NewPCG(seed, 32))
	model, im := &rvModel{pc: origin}, memory.NewImage(c.Geometry)
	for i := range rvReach / 4 {
		w := rng.Uint32()
		if i < rvLength {
			w = rvOrder(rng, i)
		}
		binary.LittleEndian.PutUint32(model.store[i*4:], w)
		_ = im.Set(origin+memory.Addr(i*4), memory.Word(w), memory.Origin{})
	}
	for n := range model.x {
		model.x[n] = rvRandom(rng)
	}
	model.x[0], model.x[rvCode], model.x[rvData] = 0, origin, origin+rvReach/2
	return model, im
}

// rvWhere names an order for a person: its place, its word and its text.
func rvWhere(c *order.Code, at, w uint32) string {
	text, _ := c.Recite(memory.Addr(at), []memory.Word{memory.Word(w)})
	return fmt.Sprintf("%08X at %08X (%s)", w, at, text)
}

// What random programs keep to.
const (
	rvCode   = 29     // the register that holds the origin; no order sets it
	rvData   = 30     // the register that holds the middle of the store; no order sets it
	rvReach  = 0x2000 // bytes of store from the origin on
	rvLength = 500    // orders; a jump through rvCode reaches them all, loads and stores by rvData none
)

// rvRandom is a number that is often at an end of its range.
func rvRandom(rng *rand.Rand) uint32 {
	ends := []uint32{0, 1, 0xFFFFFFFF, 0x80000000, 0x7FFFFFFF, 31, 32}
	if i := rng.IntN(2 * len(ends)); i < len(ends) {
		return ends[i]
	}
	return rng.Uint32()
}

// rvOrder draws a random order as number i of a program, by the formats of section 2.2 and the listing of chapter 24. Jumps
// go one to three orders ahead, so that every program comes to its end; stores stay behind the program.
func rvOrder(rng *rand.Rand, i int) uint32 {
	d, s, t := uint32(rng.IntN(rvCode)), uint32(rng.IntN(32)), uint32(rng.IntN(32))
	number, ahead := rng.Uint32N(1<<12), 4+4*rng.Uint32N(3)
	pick := func(of ...uint32) uint32 { return of[rng.IntN(len(of))] }
	kind := func(operation, function uint32) uint32 { return function<<12 | operation }
	switch rng.IntN(9) {
	case 0: // LUI, AUIPC
		return rng.Uint32()<<12 | d<<7 | pick(0x37, 0x17)
	case 1: // JAL; an even distance below 2,048 lies in bits 30 to 21 alone
		return ahead>>1<<21 | d<<7 | 0x6F
	case 2: // JALR, the lowest bit any
		return (uint32(i)*4+ahead+rng.Uint32N(2))<<20 | rvCode<<15 | d<<7 | 0x67
	case 3: // branches
		return t<<20 | s<<15 | kind(0x63, pick(0, 1, 4, 5, 6, 7)) | ahead>>1<<8
	case 4: // loads
		return number<<20 | rvData<<15 | d<<7 | kind(0x03, pick(0, 1, 2, 4, 5))
	case 5: // stores
		return number>>5<<25 | t<<20 | rvData<<15 | number&0x1F<<7 | kind(0x23, pick(0, 1, 2))
	case 6: // a number and a register
		return number<<20 | s<<15 | d<<7 | kind(0x13, pick(0, 2, 3, 4, 6, 7))
	case 7: // shifts by a number
		return t<<20 | s<<15 | d<<7 | pick(kind(0x13, 1), kind(0x13, 5), 0x400<<20|kind(0x13, 5))
	}
	f := rng.Uint32N(8) // two registers, or a fence now and then
	if number < 100 {
		return number<<20 | 0x0F
	}
	if f == 0 || f == 5 {
		t |= pick(0, 0x400)
	}
	return t<<20 | s<<15 | d<<7 | kind(0x33, f)
}

// An rvModel is an RV32I machine read plainly from chapter 2 of the manual, sharing nothing with the machine file.
type rvModel struct {
	x     [32]uint32
	pc    uint32
	store [rvReach]byte // from the origin on
}

// load gives so many bytes from an address on, the low end first.
func (m *rvModel) load(a, count uint32) uint32 {
	var w uint32
	for i := range count {
		w |= uint32(m.store[a+i-origin]) << (8 * i)
	}
	return w
}

// step does one order, none of which stops it.
func (m *rvModel) step() {
	w := m.load(m.pc, 4)
	next := m.pc + 4
	d, f, s, t := w>>7&31, w>>12&7, m.x[w>>15&31], m.x[w>>20&31]
	immediate := uint32(int32(w) >> 20) // the format of section 2.3 with a number in bits 31 to 20
	switch w & 0x7F {
	case 0x37:
		m.x[d] = w &^ 0xFFF
	case 0x17:
		m.x[d] = m.pc + w&^0xFFF
	case 0x6F:
		m.x[d] = next
		next = m.pc + (uint32(int32(w)>>31)<<20 | w&0xFF000 | w>>9&0x800 | w>>20&0x7FE)
	case 0x67:
		m.x[d], next = next, (s+immediate)&^1
	case 0x63:
		if branches(f, s, t) {
			next = m.pc + (uint32(int32(w)>>31)<<12 | w<<4&0x800 | w>>20&0x7E0 | w>>7&0x1E)
		}
	case 0x03:
		m.x[d] = m.loaded(f, s+immediate)
	case 0x23:
		a := s + (uint32(int32(w)>>25)<<5 | w>>7&31)
		for i := range uint32(1) << f {
			m.store[a+i-origin] = byte(t >> (8 * i))
		}
	case 0x13:
		m.x[d] = computed(f, s, immediate, f == 5 && w>>30&1 == 1)
	case 0x33:
		m.x[d] = computed(f, s, t, w>>30&1 == 1)
	}
	m.x[0] = 0
	m.pc = next
}

// branches is whether a branch of a function is taken: section 2.5.
func branches(f, s, t uint32) bool {
	switch f {
	case 0:
		return s == t
	case 1:
		return s != t
	case 4:
		return int32(s) < int32(t)
	case 5:
		return int32(s) >= int32(t)
	case 6:
		return s < t
	}
	return s >= t
}

// loaded is what a load of a function gives: section 2.6.
func (m *rvModel) loaded(f, a uint32) uint32 {
	switch f {
	case 0:
		return uint32(int8(m.load(a, 1)))
	case 1:
		return uint32(int16(m.load(a, 2)))
	case 4:
		return m.load(a, 1)
	case 5:
		return m.load(a, 2)
	}
	return m.load(a, 4)
}

// computed is what two numbers give by a function, the other one of those that share it where other says so: section 2.4.
func computed(f, x, y uint32, other bool) uint32 {
	one := func(b bool) uint32 {
		if b {
			return 1
		}
		return 0
	}
	switch {
	case f == 0 && other:
		return x - y
	case f == 0:
		return x + y
	case f == 1:
		return x << (y & 31)
	case f == 2:
		return one(int32(x) < int32(y))
	case f == 3:
		return one(x < y)
	case f == 4:
		return x ^ y
	case f == 5 && other:
		return uint32(int32(x) >> (y & 31))
	case f == 5:
		return x >> (y & 31)
	case f == 6:
		return x | y
	}
	return x & y
}
