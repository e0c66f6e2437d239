package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// reach is the address of a step that reaches into store.
func reach(v *[1 << 16]memory.Word, f *plan.Fused) memory.Word {
	return (v[f.A]<<(f.J&63) + memory.Word(f.K)) & f.M
}

// truth is a condition as a one-bit word.
func truth(b bool) memory.Word {
	if b {
		return 1
	}
	return 0
}

// turned is a word of n bits turned left by k places, with bits above it that mean nothing.
func turned(w, k memory.Word, n uint8) memory.Word {
	if k >= memory.Word(n) {
		k %= memory.Word(n)
	}
	return w<<k | w>>(memory.Word(n)-k)
}

// turnedBack is the same turned right.
func turnedBack(w, k memory.Word, n uint8) memory.Word {
	if k >= memory.Word(n) {
		k %= memory.Word(n)
	}
	return w>>k | w<<(memory.Word(n)-k)
}
