package syntax

import "go/token"

// A Line is one line of transfers: all on it happen together.
type Line interface{ Where() token.Position }

// A Transfer moves values: all sources are read before any target is set.
type Transfer struct {
	At      token.Position
	Targets []Expr
	Sources []Expr
}

// An Action is a word that is no transfer: halt, halt for good, wait E, spend E, restart N, trap N.
type Action struct {
	At    token.Position
	Verb  string
	Name  Name // restart, trap
	Arg   Expr // wait, spend; nil otherwise
	Final bool // halt for good: no key sets the machine going again
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
