package memory

// A Style is how a handbook writes numbers: radix of words and addresses, and how it numbers bits.
type Style struct {
	Radix    int  // 2, 8, 10 or 16
	FirstBit int  // number of the end bit, 0 or 1
	FromLeft bool // bits are numbered from the left
}
