package syntax

import "go/token"

// A File is one machine file as typed: statements in the order they stand.
type File struct {
	Name       string
	Statements []Statement
}

// A Statement is one head line of a machine file with the clauses below it.
type Statement interface {
	// Start is the place of the statement's keyword.
	Start() token.Position
	// Head gives the marks any head line may carry.
	Head() *Mark
}

// A Mark is what any head line may carry: its place, its page reference and its doubt mark.
type Mark struct {
	At    token.Position
	Page  string // as typed, "3-4"; empty where none stands
	Issue string // of the page, as typed; empty where none stands
	Doubt bool   // a `?` at the end of the line: the typist is not sure

	Replaces *Sheet // the page of the statement that this one stands in place of; nil: none

	Doubts []Doubt // of the clause lines below it, by clause and then in the order they stand
}

// A Doubt is a clause line, or a line of does, that ends in a doubt mark.
type Doubt struct {
	At     token.Position // of the line's first word; the first such line where a clause is doubted whole
	Clause string         // its keyword: pattern, does
	Nth    int            // which line of that clause, counted from 0; 0 where the clause is a list, doubted whole
}

// Start is the place of the statement's keyword.
func (m *Mark) Start() token.Position { return m.At }

// Reference is the page and its issue, as a listing names them; empty where no page stands.
func (m *Mark) Reference() string { return m.Page + after(" issue ", m.Issue) }

// A Sheet is a page of the handbook that a statement replaces something of.
type Sheet struct {
	At    token.Position // of the word page
	Page  string
	Issue string // empty: whichever there is
}

// Reference is the page and its issue, as Mark.Reference gives them.
func (s *Sheet) Reference() string { return s.Page + after(" issue ", s.Issue) }

// String gives the sheet as typed.
func (s *Sheet) String() string { return "page " + s.Reference() }

// Head gives the mark itself.
func (m *Mark) Head() *Mark { return m }

// A Name is a word as typed and where it stands.
type Name struct {
	At   token.Position
	Text string
}

// A Number is a number as typed; which radix it is in, the checker knows, unless a word before it says so.
type Number struct {
	At    token.Position
	Text  string
	Radix string // octal, hexadecimal, decimal, binary: the word before it; empty where none stands
}

// A Title is a statement that only says something: machine "..." or issue "...".
type Title struct {
	Mark
	Keyword string // machine, issue
	Text    string
}

// A Numbers states the number style: radix, and which end bit numbers start from.
type Numbers struct {
	Mark
	Radix Name   // octal, hexadecimal, decimal, binary
	First Number // number of the end bit, 0 or 1
	Side  Name   // right, left
	Group Number // decimal: digits printed together; empty: all
}

// A WordSize states the width of a word, and the complement of its numbers.
type WordSize struct {
	Mark
	Bits       Number // decimal
	Complement Name   // twos, ones, sign-magnitude
}

// An AddressSize states how many bits an address has, and how many digits it is written with.
type AddressSize struct {
	Mark
	Bits   Number // decimal
	Digits Number // decimal; empty: as many as the bits need
}

// A Unit states how many bits an address counts, where they are fewer than a word's.
type Unit struct {
	Mark
	Bits Number // decimal
	End  Name   // low, high: which end of a word stands at its first address
}

// A Packing states how many orders stand in one word.
type Packing struct {
	Mark
	Count Number // decimal
	First Name   // left, right: which order comes first
}

// A Clock states the time of one cycle.
type Clock struct {
	Mark
	Time Duration
}

// A Duration is a decimal number, perhaps with a fraction, and a unit.
type Duration struct {
	At     token.Position
	Number string // "2.5"
	Unit   string // s, ms, us, ns, ps
}

// A Declares is a count the handbook gives, to be held against what was typed.
type Declares struct {
	Mark
	Count Number // decimal
	What  Name   // orders

	Pattern Pattern // how the words of those orders begin; its Text is empty: all orders
}

// A Registers declares registers of one width; a flip-flop is a register of one bit, keys a register that hands set.
type Registers struct {
	Mark
	Keyword string // register, flip-flop, counter, keys
	Names   []Name
	Bits    Number // decimal; empty for flip-flops
	Holds   Name   // counter only: next (order), this (order)
	AtStart Number // keys only: how they stand at power-up
	PlugIn  Name   // empty: not said

	Inverted bool // keys only: orders read a one where a key stands at 0
}

// An Adder names the plug-in that holds the adder.
type Adder struct {
	Mark
	PlugIn Name
}

// A Store declares areas of store that are built alike.
type Store struct {
	Mark
	Areas  []Area
	Bits   Number // decimal; empty: as the word
	Wired  bool   // never written by the processor
	Parity []Parity
	Chips  []Chips

	Inverted bool // held true-low: cells hold the complement

	CheckBits []Parity // the columns of a check matrix
	Corrects  bool     // a word with one wrong bit is put right as it is read
}

// An Area is one plug-in's range of addresses, both ends included.
type Area struct {
	Name        Name
	First, Last Number
}

// A Parity is one parity column, or one check bit, and the bits it covers.
type Parity struct {
	Name    Name
	Odd     bool
	Bits    Bits
	More    []Bits // check bits only: the runs of bits after the first
	Address bool   // the bits of the address are counted in
}

// A Bits is a run of bit numbers as typed, decimal, or one bit where Last is empty.
type Bits struct {
	At          token.Position
	First, Last string
}

// A Chips names the chips behind a run of bits, or behind one parity column.
type Chips struct {
	First, Last Name // U01, U18; Last is empty for one chip
	Bits        Bits // unset when Parity is named
	Parity      Name
}

// A PlugIn names a plug-in that holds no store.
type PlugIn struct {
	Mark
	Name Name
	Text string
}

// A Protect is a range of addresses, or an area of store, where no write is done while a value is 1.
type Protect struct {
	Mark
	First, Last Number
	Area        Name // in place of the range
	When        Expr
}

// A Mirror is a range of addresses whose writes are done in the other machine's store too while a value is 1.
type Mirror struct {
	Mark
	First, Last Number
	When        Expr
	Parity      Name // remade, copied
}

// A Group says which register each value of a field means.
type Group struct {
	Mark
	Field   Name
	Entries []Entry
}

// A Choice says which word is written in order text for each value of a field.
type Choice struct {
	Mark
	Field   Name
	Entries []Entry
}

// An Entry is one value of a field, in binary, and its name; a name of "-" is not written.
type Entry struct {
	At    token.Position
	Value string // binary digits
	Name  Name
}

// A Mode is a way to find an address that many orders share.
type Mode struct {
	Mark
	Name Name
	Does []Line
}

// An Order is one line of the order code.
type Order struct {
	Mark
	Name     Name      // with a * for each Each, where the order is typed once for several
	Operands []Operand // in the order they are written; `i a` without a comma is one Operand with a prefix
	Patterns []Pattern // one for each word
	Each     []Each
	Except   []Name // orders that come first where both read a word; with a * as they are typed, or without
	Modes    []Name
	As       []As
	Must     []Expr
	Does     []Line
	Unknown  Name   // the word unknown, in place of does: the page is unreadable; empty elsewhere
	Cost     Number // decimal cycles; empty: 1
	Checks   []Check
}

// An Undefined is a group of words that no order reads, and what the machine does at them.
type Undefined struct {
	Mark
	Pattern Pattern
	Text    string // empty: none typed
	Does    []Line // nil: no does clause; empty, not nil: one that holds no line
	Cost    Number // decimal cycles; empty: 1
}

// An Each types one order for several: one for each value of a field.
type Each struct {
	At      token.Position
	Field   Name
	Entries []EachEntry
}

// An EachEntry is one of those orders: the bits of the field, the word in the order's name, and what the field's letter
// stands for in its lines.
type EachEntry struct {
	At    token.Position
	Value string // binary digits
	Name  Name
	Is    Expr
}

// An Operand is one operand as order text writes it: fields side by side, as in `through 12`.
type Operand struct {
	Fields []Name
}

// A Pattern is the drawing of one word, high bit first, blanks kept out.
type Pattern struct {
	At   token.Position
	Text string // 0, 1, field letters, * ignored, ? the handbook is silent
}

// An As says which value order text writes for a field: a target instead of a distance.
type As struct {
	At    token.Position
	Field Name
	Value Expr
}

// A Check is a worked example kept in the file.
type Check struct {
	At     token.Position
	Words  []string // "0001 00 0 ..." reads "load A, 12"; nil for a check with values
	Reads  string
	Before []Setting
	After  []Setting
}

// A Setting is one register or store word with a value.
type Setting struct {
	Place Expr
	Value Number
}

// A Trap says what the machine does at an event inside it.
type Trap struct {
	Mark
	Name Name
	Text string
	When Expr // nil: always
	Does []Line
}

// An Interrupt says what the machine does between two orders when something outside it calls.
type Interrupt struct {
	Mark
	Name   Name
	Text   string
	Level  Number // decimal, the higher first; empty: 0
	When   Expr   // nil: always
	After  Number // decimal: orders done since Enable was last set to 1; empty: no delay
	Enable Name   // a flip-flop; empty with After
	Does   []Line
}

// A Timer runs down unless a program restarts it, then springs a trap.
type Timer struct {
	Mark
	Name Name
	Time Duration
	Trap Name

	Early     Duration // a restart sooner than this after the last one springs EarlyTrap; its Number is empty: never
	EarlyTrap Name
	PlugIn    Name // empty: not said
}

// A Boot says what start-up sets.
type Boot struct {
	Mark
	Does []Line
}

// A Duplex says how two machines are coupled: the flip-flop that makes one of them the on-line one.
type Duplex struct {
	Mark
	OnLine Name     // a flip-flop
	Gap    Duration // from its falling in one machine to its rising in the other
	Gates  []Name   // channels that only the on-line machine can drive
	Mate   Name     // the channel that reaches the other machine; empty: there is none
	After  Duration // how long that takes
	Does   []Line   // what a machine does that comes on-line
}

// A Channel names a channel, its code and the width of what it carries.
type Channel struct {
	Mark
	Name    Name
	Code    Number
	Bits    Number // decimal
	Address Number // where store stands for it; empty: orders name it by its code
	Signs   Number // decimal, how many signs follow in store; empty: 8
	PlugIn  Name   // empty: not said

	Inverted []Sense   // what is true-low of it
	Requests []Request // the signs that set flip-flops
	Steals   Number    // decimal cycles for each word that the device puts into store itself; empty: it puts none
}

// A Request is a sign of a channel that sets a flip-flop when it comes up.
type Request struct {
	Sets Name   // the flip-flop
	Sign Number // of the sign
}

// A Sense names lines of a channel that are true-low: those of its words, of its signs, or of one sign.
type Sense struct {
	What Name   // words, signs, sign
	Sign Number // of one sign: its number
}

// A Lamps names a block of store words whose bits light lamps.
type Lamps struct {
	Mark
	First, Last Number
	Bits        Bits
	Inverted    bool // a lamp is lit by a zero
	PlugIn      Name
}
