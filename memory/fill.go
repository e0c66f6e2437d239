package memory

// Fill is what a word of width bits, or a register, holds that nobody wrote since power-up: it is the same for the same
// seed and number, and looks like nothing in particular. Number is the address of the word.
//
// The bits are the low ones of output number+1 of the SplitMix64 generator started at seed: it is short, well mixed, and
// any output is had without those before it.
func Fill(seed, number uint64, width int) Word {
	z := seed + (number+1)*0x9E3779B97F4A7C15
	z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
	z = (z ^ z>>27) * 0x94D049BB133111EB
	return Word(z^z>>31) & Mask(width)
}
