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
	Doubt bool   // a `?` at the end of the line: the typist is not sure
}

// Start is the place of the statement's keyword.
func (m *Mark) Start() token.Position { return m.At }

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
}

// A Registers declares registers of one width; a flip-flop is a register of one bit.
type Registers struct {
	Mark
	Keyword string // register, flip-flop, counter
	Names   []Name
	Bits    Number // decimal; empty for flip-flops
	Holds   Name   // counter only: next (order), this (order)
}

// A Store declares areas of store that are built alike.
type Store struct {
	Mark
	Areas  []Area
	Bits   Number // decimal; empty: as the word
	Wired  bool   // never written by the processor
	Parity []Parity
	Chips  []Chips
}

// An Area is one plug-in's range of addresses, both ends included.
type Area struct {
	Name        Name
	First, Last Number
}

// A Parity is one parity column and the bits it covers.
type Parity struct {
	Name Name
	Odd  bool
	Bits Bits
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
	Name     Name
	Operands []Operand // in the order they are written; `i a` without a comma is one Operand with a prefix
	Patterns []Pattern // one for each word
	Modes    []Name
	As       []As
	Must     []Expr
	Does     []Line
	Cost     Number // decimal cycles; empty: 1
	Checks   []Check
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

// A Timer runs down unless a program restarts it, then springs a trap.
type Timer struct {
	Mark
	Name Name
	Time Duration
	Trap Name
}

// A Boot says what start-up sets.
type Boot struct {
	Mark
	Does []Line
}

// A Channel names a channel, its code and the width of what it carries.
type Channel struct {
	Mark
	Name Name
	Code Number
	Bits Number // decimal
}

// A Lamps names a block of store words whose bits light lamps.
type Lamps struct {
	Mark
	First, Last Number
	Bits        Bits
	PlugIn      Name
}

// A Line is one line of transfers: all on it happen together.
type Line interface{ Where() token.Position }

// A Transfer moves values: all sources are read before any target is set.
type Transfer struct {
	At      token.Position
	Targets []Expr
	Sources []Expr
}

// An Action is a word that is no transfer: halt, wait E, spend E, restart N, trap N.
type Action struct {
	At   token.Position
	Verb string
	Name Name // restart, trap
	Arg  Expr // wait, spend; nil otherwise
}

// A Together is several transfers and actions on one line, between semicolons.
type Together struct {
	At    token.Position
	Parts []Line // Transfer and Action
}

// A Let names a value for the lines after it.
type Let struct {
	At    token.Position
	Name  Name
	Value Expr
}

// An If does one run of lines or the other.
type If struct {
	At   token.Position
	Cond Expr
	Then []Line
	Else []Line
	Flat bool // written on one line with `then`
}

// A Repeat does its lines again while Cond holds, never more often than Times.
type Repeat struct {
	At    token.Position
	Times Number // decimal
	Cond  Expr   // nil: always
	Body  []Line
}

// Where is the place the line starts.
func (l *Transfer) Where() token.Position { return l.At }

// Where is the place the line starts.
func (l *Action) Where() token.Position { return l.At }

// Where is the place the line starts.
func (l *Together) Where() token.Position { return l.At }

// Where is the place the line starts.
func (l *Let) Where() token.Position { return l.At }

// Where is the place the line starts.
func (l *If) Where() token.Position { return l.At }

// Where is the place the line starts.
func (l *Repeat) Where() token.Position { return l.At }

// An Expr is a value in a transfer.
type Expr interface{ Where() token.Position }

// An Ident is a name standing for a value: register, field, let, here.
type Ident struct{ Name }

// A Literal is a number standing for a value, in the file's own radix.
type Literal struct{ Number }

// A Unary is `not x`.
type Unary struct {
	At token.Position
	Op string
	X  Expr
}

// A Binary is two values and what stands between them; `:` joins, the left one high.
type Binary struct {
	At   token.Position // of the operator
	Op   string
	X, Y Expr
}

// A Cond is `if c then x else y`.
type Cond struct {
	At         token.Position
	If         Expr
	Then, Else Expr
}

// A Pick is some bits of a value: x.14-0, x.17.
type Pick struct {
	X    Expr
	Bits Bits
}

// A Call is a function of values: left(x, n).
type Call struct {
	Name Name
	Args []Expr
}

// An Index is a word of store, a channel, a command or a sign: store[x], sign[c, n].
type Index struct {
	Name Name
	Args []Expr
}

// Where is the place the value starts.
func (e *Ident) Where() token.Position { return e.At }

// Where is the place the value starts.
func (e *Literal) Where() token.Position { return e.At }

// Where is the place the value starts.
func (e *Unary) Where() token.Position { return e.At }

// Where is the place of the operator.
func (e *Binary) Where() token.Position { return e.At }

// Where is the place the value starts.
func (e *Cond) Where() token.Position { return e.At }

// Where is the place the value starts.
func (e *Pick) Where() token.Position { return e.X.Where() }

// Where is the place the value starts.
func (e *Call) Where() token.Position { return e.Name.At }

// Where is the place the value starts.
func (e *Index) Where() token.Position { return e.Name.At }
