package storetest

import (
	"iter"
	"math"

	"coldstart/memory"
)

// A named is a geometry of the suite.
type named struct {
	name string
	memory.Geometry
}

// geometries are the shapes that stores come in: one area, areas side by side with a gap and wired store, areas of several
// widths, areas at both ends of a 64-bit address, areas held true-low, and addresses that count units, either end first,
// few and many to a word.
func geometries() []named {
	octal := memory.Style{Radix: 8}
	parity := []memory.Parity{{Name: "right", Odd: true, Hi: 8, Lo: 0}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}
	return []named{
		{"one area", memory.Geometry{Style: octal, Width: 8, AddrBits: 8, Areas: []memory.Area{
			{Name: "ST0", First: 0, Last: 255, Width: 8},
		}}},
		{"gap and wired", memory.Geometry{Style: octal, Width: 18, AddrBits: 15, Areas: []memory.Area{
			{Name: "ST0", First: 0, Last: 0o777, Width: 18, Parity: parity},
			{Name: "ST1", First: 0o1000, Last: 0o1777, Width: 18, Parity: parity},
			{Name: "WS1", First: 0o77400, Last: 0o77777, Width: 18, Wired: true},
		}}},
		{"widths", memory.Geometry{Style: octal, Width: 64, AddrBits: 12, Areas: []memory.Area{
			{Name: "bit", First: 1, Last: 10, Width: 1, Parity: []memory.Parity{{Odd: true}}},
			{Name: "whole", First: 11, Last: 700, Width: 64, Parity: []memory.Parity{{Odd: true, Hi: 63}, {Hi: 31}}},
			{Name: "wired", First: 701, Last: 701, Width: 33, Wired: true},
		}}},
		{"far apart", memory.Geometry{Style: octal, Width: 32, AddrBits: 64, Areas: []memory.Area{
			{Name: "low", First: 0, Last: 300, Width: 32, Parity: []memory.Parity{{Hi: 31}}},
			{Name: "middle", First: 1 << 32, Last: 1<<32 + 300, Width: 32},
			{Name: "high", First: math.MaxUint64 - 300, Last: math.MaxUint64, Width: 32},
		}}},
		{"held true-low", memory.Geometry{Style: octal, Width: 12, AddrBits: 9, Areas: []memory.Area{
			{Name: "ST0", First: 0, Last: 0o377, Width: 12, Inverted: true, Parity: []memory.Parity{{Odd: true, Hi: 11, Address: true}}},
			{Name: "ST1", First: 0o400, Last: 0o577, Width: 9, Inverted: true},
			{Name: "WS1", First: 0o700, Last: 0o777, Width: 12, Wired: true, Inverted: true},
		}}},
		{"octets, low end first", octets(16, true)},
		{"octets, high end first", octets(16, false)},
		{"octets far apart", octets(64, false)},
		{"single bits", memory.Geometry{Style: octal, Width: 12, AddrBits: 10, Unit: 1, LowFirst: true, Areas: []memory.Area{
			{Name: "ST0", First: 0, Last: 119, Width: 12, Parity: []memory.Parity{{Odd: true, Hi: 11}}},
		}}},
	}
}

// octets is words of 32 bits whose addresses count units of 8, in areas at both ends of an address.
func octets(addrBits int, lowFirst bool) memory.Geometry {
	top := memory.Addr(memory.Mask(addrBits))
	return memory.Geometry{Style: memory.Style{Radix: 16}, Width: 32, AddrBits: addrBits, Unit: 8, LowFirst: lowFirst, Areas: []memory.Area{
		{Name: "low", First: 0, Last: 0x1FF, Width: 32, Parity: []memory.Parity{{Odd: true, Hi: 31, Address: true}}},
		{Name: "wired", First: 0x200, Last: 0x21F, Width: 32, Wired: true},
		{Name: "narrow", First: 0x220, Last: 0x2FF, Width: 20, Inverted: true},
		{Name: "high", First: top - 0xFF, Last: top, Width: 32},
	}}
}

// all goes through the address of every word.
func all(g memory.Geometry) iter.Seq2[memory.Addr, *memory.Area] {
	return func(yield func(memory.Addr, *memory.Area) bool) {
		for i := range g.Areas {
			area := &g.Areas[i]
			// Counted in words: an address after the last may not exist.
			step := memory.Addr(g.Step())
			for n := range (area.Last-area.First)/step + 1 {
				if !yield(area.First+n*step, area) {
					return
				}
			}
		}
	}
}

// writable goes through the address of every word that a processor can write.
func writable(g memory.Geometry) iter.Seq2[memory.Addr, *memory.Area] {
	return func(yield func(memory.Addr, *memory.Area) bool) {
		for a, area := range all(g) {
			if !area.Wired && !yield(a, area) {
				return
			}
		}
	}
}

// absent is addresses where nothing answers: beside every area, far from all, and such as differ from one that answers in
// a single high bit.
func absent(g memory.Geometry) []memory.Addr {
	var list []memory.Addr
	for _, area := range g.Areas {
		near := []memory.Addr{area.First - 1, area.Last + 1, math.MaxUint64, 1 << 63}
		for bit := range 64 {
			near = append(near, area.First^1<<bit)
		}
		for _, a := range near {
			if g.Area(a) == nil {
				list = append(list, a)
			}
		}
	}
	return list
}
