// Package order is a checked machine file: registers, order patterns, what each order does, traps, timers, channels,
// lamps and plug-ins. The same Code decodes a word, recites it as order text, encodes order text, and is executed.
package order

import (
	"coldstart/memory"
)

// A Code is a checked machine file; it never changes and may be shared.
type Code struct {
	Name       string
	Issue      string
	Geometry   memory.Geometry
	Complement string      // twos, ones, sign-magnitude
	Cycle      int64       // picoseconds a cycle; 0 where the file has no clock: then every order is one tick
	Counter    *Register   // the order counter
	HoldsNext  bool        // while an order acts the counter holds the next order; else the order itself
	Registers  []*Register // flip-flops and the counter included, in file order; Register.Number is the index
	Orders     []*Order    // in file order; Order.Number is the index
	Traps      []*Trap     // in file order; Trap.Number is the index
	Timers     []*Timer
	Channels   []*Channel
	Lamps      []Lamps
	PlugIns    []PlugIn
	Boot       []*Stmt
	BootLocals int // locals that Boot uses

	Undefined   []*Order     // what words do that no order reads, by group, in file order; Order.Number is the index
	Interrupts  []*Interrupt // the highest level first, alike levels in file order; Interrupt.Number is the index
	Protects    []Protect
	Mirrors     []Mirror
	Duplex      *Duplex    // nil: the machine stands alone
	AdderPlugIn string     // the plug-in that holds the adder; empty where the file does not say
	PerWord     int        // orders in a word, 1 or 2
	RightFirst  bool       // of two orders in a word the right one is done first
	Declared    []Declared // counts of the handbook
	Doubts      []Doubt    // by line: what the typist was not sure of
	Replaced    []Replaced // by line: what addenda replace

	ParityColumns []string // names of parity columns and check bits, each once

	index     decoder
	undefined decoder
}

// A Register is a register or, one bit wide, a condition flip-flop.
type Register struct {
	Name     string
	Number   int // index in Code.Registers
	Width    int // bits
	FlipFlop bool
	Keys     bool        // set by switches: a program reads it and cannot set it
	Start    memory.Word // of keys: how they stand at power-up
	Inverted bool        // of keys: orders read a one where a key stands at 0
	PlugIn   string      // the plug-in that holds it; empty where the file does not say
	Page     string      // of the handbook
	Doubt    bool
}

// An Order is one line of the order code: a pattern, its fields and its transfers.
type Order struct {
	Name     string
	Number   int
	Line     int    // of the machine file
	Page     string // of the handbook
	Doubt    bool
	Patterns []Pattern // one for each word of the order
	Fields   []*Field  // Field.Number is the index
	Operands []Operand // as order text writes them
	Must     []*Expr   // each one bit wide: said to be 1 by the handbook; a run reports where it is not
	Does     []*Stmt   // the mode's lines first
	Locals   int       // how many locals Does uses
	Cost     int       // cycles, spend not counted
	Checks   []Check

	Except     []*Order // those that read a word which this one would read too: they come first
	Unreadable bool     // the page is unreadable: nobody knows what it does, and a machine stops there
	Undefined  bool     // one of Code.Undefined: no order of the handbook
	Text       string   // of an undefined one: what the handbook says of it
}

// A Pattern is the drawing of one word: the word matches where word and Mask equals Value.
type Pattern struct {
	Mask, Value memory.Word
	Unknown     memory.Word // bits on which the handbook is silent
	Width       int         // bits drawn; a word wider than that has zeros above them
}

// A Field is a run of letter bits of an order, joined from all its pieces, the first the highest.
type Field struct {
	Name   string // the letter
	Number int
	Width  int
	Pieces []Piece
	Group  []*Register // by value, nil where the value means no register: the order does not read such a word; nil slice: no group
	Choice []string    // by value, "" where no word is given, "-" where nothing is written; nil slice: no choice
}

// A Piece is bits Hi to Lo of one word of the order.
type Piece struct {
	Word, Hi, Lo int
}

// An Operand is one operand of order text: fields side by side, the last the value, those before it written as words.
type Operand struct {
	Fields []*Field
	As     *Expr // what the last field's value is written as; nil: the field itself
	Free   bool  // As depends on nothing but the order's place: it is written and read as that value. Not free: a register decides, see encode
}

// A Check is a worked example kept in the machine file.
type Check struct {
	Line   int
	Words  []memory.Word
	Reads  string
	Before []Setting
	After  []Setting
}

// A Setting is one register or store word with a value.
type Setting struct {
	Register *Register // nil: a store word
	Addr     memory.Addr
	Value    memory.Word
}

// A Trap says what a machine does at an event inside it.
type Trap struct {
	Name   string // parity, undefined, no-reply, protected, corrected and again are sprung by the machine itself
	Number int
	Text   string
	Page   string
	When   *Expr // one bit wide; nil: always. A trap whose When is 0 does not happen
	Does   []*Stmt
	Locals int
	Doubt  bool
}

// An Interrupt is an event outside the order being done that the machine answers between two orders.
type Interrupt struct {
	Name   string
	Number int
	Text   string
	Page   string
	Doubt  bool
	Level  int       // the higher comes first
	When   *Expr     // one bit wide: it asks while this is 1; nil: always
	Delay  int       // orders that must have been done since Enable was last set to 1
	Enable *Register // nil where there is no delay
	Does   []*Stmt   // here is the place of the order that would have been next
	Locals int
}

// A Timer runs down unless a program restarts it, then springs its trap.
type Timer struct {
	Name   string
	Number int
	Period int64 // picoseconds
	Trap   *Trap

	Early     int64 // picoseconds: a restart sooner than that after the last springs EarlyTrap; 0: none is too early
	EarlyTrap *Trap
	PlugIn    string
	Page      string
	Doubt     bool
}

// A Channel names a channel, its code and the width of what it carries.
type Channel struct {
	Name  string
	Code  int
	Width int

	At     *memory.Addr // the first of its store addresses, see Addresses; nil: it is reached by orders alone
	Signs  int          // how many signs it has
	PlugIn string

	Inverted      bool        // its words and commands pass over lines held true-low
	InvertedSigns memory.Word // a one for each sign that is true-low; all ones: every sign, whatever its number
	Requests      []Request   // the signs that set flip-flops
	Steals        int         // cycles that each word takes which the device puts into store itself; 0: it puts none
	Page          string
	Doubt         bool
}

// A Request is a sign of a channel that sets a flip-flop when it comes up.
type Request struct {
	Sign int
	Sets *Register
}

// A Protect is a range of addresses, both ends included, that cannot be written while When is 1.
type Protect struct {
	First, Last memory.Addr
	When        *Expr // of registers alone, and of local 0, the address that is to be written
	Line        int
}

// A Mirror is a range of addresses, both ends included, whose writes go to the other half too while When is 1.
type Mirror struct {
	First, Last memory.Addr
	When        *Expr // of registers alone
	Copied      bool  // the parity travels with the word; else it is made anew
	Line        int
}

// A Duplex is how two machines are coupled.
type Duplex struct {
	OnLine *Register  // 1 in the one on-line
	Gap    int64      // picoseconds from its falling in one to its rising in the other, or the other way round
	Gates  []*Channel // what goes out over these is lost where OnLine is 0
	Mate   *Channel   // reaches the other machine; nil: nothing does
	Delay  int64      // picoseconds that this takes
	Does   []*Stmt    // by a machine that comes on-line; none: it goes on as it was
	Locals int
	Page   string
	Doubt  bool
}

// A Declared is a count that the handbook gives: of all orders, or of those whose first word begins with a pattern.
type Declared struct {
	Count   int
	Pattern *Pattern // nil: all orders
	Line    int
}

// A Doubt is a line the typist was not sure of.
type Doubt struct {
	Line int
	What string // such as "order load-x, does"
	Page string // of the handbook
}

// A Lamps is a block of store words whose bits light lamps, a one each, or a zero where Inverted: place n of a row is bit n
// counted from Lo.
type Lamps struct {
	First, Last memory.Addr
	Hi, Lo      int
	Inverted    bool // a zero lights a lamp
	PlugIn      string
}

// A PlugIn is a part that holds no store.
type PlugIn struct {
	Name, Text string
}
