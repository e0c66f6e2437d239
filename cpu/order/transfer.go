package order

import "coldstart/memory"

// A Stmt is one step of what an order does. Op says which, and which of the other fields count:
//
//	transfer  Targets[i] <- Sources[i], all Sources read before any Target is set
//	together  Body, all transfers and actions whose sources are read before any target is set
//	let       local Local <- Sources[0]
//	if        Cond ? Body : Else
//	repeat    Body while Cond (nil: always), at most Times
//	halt      the machine stops; where Final, no key sets it going again
//	wait      the machine stays in this order until Cond is 1; nothing else happens meanwhile
//	spend     Sources[0] more cycles
//	restart   timer Index starts anew
//	trap      trap Index springs; nothing after it in the order is done
type Stmt struct {
	Op      string
	Line    int // of the machine file
	Targets []*Expr
	Sources []*Expr
	Local   int
	Cond    *Expr
	Times   int
	Body    []*Stmt
	Else    []*Stmt
	Index   int
	Final   bool
}

// An Expr is one checked value. Width is its number of bits, known before anything runs. Op says what it is:
//
//	const         Value
//	register      Code.Registers[Index]
//	group         the register that field Index picks in this word
//	field         field Index of the order
//	local         local Index
//	here          the place of the order acting, as wide as the counter
//	after         the place after the order that stands at Args[0], as wide as the counter: a word on where no order reads it
//	store         the word at Args[0] (as target too); where Width is less than the word, that many bits from unit Args[0] on
//	wrong-parity  target only: the word at Args[0], its parity made wrong: column Code.ParityColumns[Index-1], or all where Index is 0
//	channel       what channel Args[0] gives or takes (as target too), as wide as the widest channel of the file
//	command       target only: a command to channel Args[0], as wide
//	sign          sign Args[1] of channel Args[0], one bit
//	not           bitwise
//	and or xor    bitwise, equal widths
//	+ -           plain counting modulo 2^Width, equal widths
//	= /= < <= > >=  one bit; order is of plain numbers without sign
//	join          Args[0]:Args[1]: Width is the sum; as target too, of registers, locals and picks of them
//	bits          bits Hi to Lo of Args[0], counted from the right; as target too
//	cond          Args[0] ? Args[1] : Args[2]; only the one taken is read
//	extend        Args[0] with zeros at the left up to Width
//	cut           the low Width bits of Args[0]
//	sign-extend   Args[0] with its top bit repeated at the left up to Width
//	left right draw rotate-left rotate-right   Args[0] by Args[1] places; draw repeats the top bit;
//	              a count of Width or more shifts all out, and rotates by the count modulo Width
//	leading trailing   how many zeros stand left (right) of the outermost one; Width of Args[0] where it is zero
//	ones          how many ones
//	parity        one bit: 1 where the number of ones is odd
//	add subtract  through the adder, in the machine's complement; Args[2], one bit, is the carry in (subtract: none)
//	carry overflow   one bit: of add Args[0], Args[1], carry in Args[2] or 0
//	add-decimal   digit by digit, each of four bits and worth up to fifteen; Args[2], one bit, is the carry in
//	carry-decimal one bit: what add-decimal of Args[0], Args[1], carry in Args[2] or 0, carries out of the top digit
//	multiply      of numbers without sign; Width is the sum of both
//	divide remainder   of numbers without sign; by zero all ones, and Args[0]
//	less          one bit: Args[0] below Args[1] as signed numbers in the machine's complement
type Expr struct {
	Op     string
	Width  int
	Value  memory.Word
	Index  int
	Hi, Lo int
	Args   []*Expr
	Name   string // as typed: a name, a number, or the bit numbers of `bits`
}
