package order

// An Op documents one operation of an Expr or a Stmt: what it takes, and a picture of what it does.
type Op struct {
	Name        string // Expr.Op or Stmt.Op
	Step        bool   // of a Stmt; else of an Expr
	Least, Most int    // how many Args an Expr has
	Width       string // of an Expr: how many bits it has, in words
	Call        string // how a machine file calls it, where as a function: sign for sign-extend
	Picture     string
}

// The rules by which the bits of an Expr follow from those of its Args.
const (
	widthOwn     = "that of what it names"
	widthWanted  = "the one wanted where it stands"
	widthAlike   = "that of both arguments, which are alike"
	widthFirst   = "that of the first argument"
	widthSum     = "those of both arguments added"
	widthStated  = "the one written"
	widthPlace   = "that of the order counter"
	widthCounted = "just enough for the number of bits of the argument"
	widthOne     = "one bit"
)

// ops is every operation there is. Others that walk transfers hold themselves against it, so that none is forgotten.
var ops = []Op{
	{Name: "const", Width: widthWanted, Picture: "Value"},
	{Name: "register", Width: widthOwn, Picture: "register Index"},
	{Name: "group", Width: widthOwn, Picture: "the register that field Index picks"},
	{Name: "field", Width: widthOwn, Picture: "field Index"},
	{Name: "local", Width: widthOwn, Picture: "local Index"},
	{Name: "here", Width: widthOwn, Picture: "the place of the order acting"},
	{Name: "after", Least: 1, Most: 1, Width: widthPlace, Call: "after", Picture: "the place after the order that stands at a"},
	{Name: "store", Least: 1, Most: 1, Width: widthOwn, Picture: "the word at a, or Width bits from unit a on"},
	{Name: "wrong-parity", Least: 1, Most: 1, Width: widthOwn, Picture: "target only: the word at a, its parity made wrong"},
	{Name: "channel", Least: 1, Most: 1, Width: widthOwn, Picture: "the word that channel a gives or takes"},
	{Name: "command", Least: 1, Most: 1, Width: widthOwn, Picture: "a command to channel a"},
	{Name: "sign", Least: 2, Most: 2, Width: widthOne, Picture: "sign b of channel a"},

	{Name: "not", Least: 1, Most: 1, Width: widthFirst, Picture: "every bit of a turned over"},
	{Name: "and", Least: 2, Most: 2, Width: widthAlike, Picture: "1 where a and b are"},
	{Name: "or", Least: 2, Most: 2, Width: widthAlike, Picture: "1 where a or b is"},
	{Name: "xor", Least: 2, Most: 2, Width: widthAlike, Picture: "1 where a and b differ"},
	{Name: "+", Least: 2, Most: 2, Width: widthAlike, Picture: "a + b modulo 2^Width"},
	{Name: "-", Least: 2, Most: 2, Width: widthAlike, Picture: "a - b modulo 2^Width"},
	{Name: "=", Least: 2, Most: 2, Width: widthOne, Picture: "a = b"},
	{Name: "/=", Least: 2, Most: 2, Width: widthOne, Picture: "a is not b"},
	{Name: "<", Least: 2, Most: 2, Width: widthOne, Picture: "a below b, both without sign"},
	{Name: "<=", Least: 2, Most: 2, Width: widthOne, Picture: "a not above b, both without sign"},
	{Name: ">", Least: 2, Most: 2, Width: widthOne, Picture: "a above b, both without sign"},
	{Name: ">=", Least: 2, Most: 2, Width: widthOne, Picture: "a not below b, both without sign"},

	{Name: "join", Least: 2, Most: 2, Width: widthSum, Picture: "a with b at its right"},
	{Name: "bits", Least: 1, Most: 1, Width: widthStated, Picture: "bits Hi to Lo of a"},
	{Name: "cond", Least: 3, Most: 3, Width: widthAlike, Picture: "b where a is 1, else c"},
	{Name: "extend", Least: 1, Most: 1, Width: widthStated, Call: "extend", Picture: "a with zeros at the left"},
	{Name: "cut", Least: 1, Most: 1, Width: widthStated, Call: "cut", Picture: "the low bits of a"},
	{Name: "sign-extend", Least: 1, Most: 1, Width: widthStated, Call: "sign", Picture: "a with its top bit repeated at the left"},

	{Name: "left", Least: 2, Most: 2, Width: widthFirst, Call: "left", Picture: "a moved b places left, zeros drawn in"},
	{Name: "right", Least: 2, Most: 2, Width: widthFirst, Call: "right", Picture: "a moved b places right, zeros drawn in"},
	{Name: "draw", Least: 2, Most: 2, Width: widthFirst, Call: "draw", Picture: "a moved b places right, its top bit drawn in"},
	{Name: "rotate-left", Least: 2, Most: 2, Width: widthFirst, Call: "rotate-left", Picture: "a turned b places left"},
	{Name: "rotate-right", Least: 2, Most: 2, Width: widthFirst, Call: "rotate-right", Picture: "a turned b places right"},

	{Name: "leading", Least: 1, Most: 1, Width: widthCounted, Call: "leading", Picture: "how many zeros left of the leftmost one of a"},
	{Name: "trailing", Least: 1, Most: 1, Width: widthCounted, Call: "trailing", Picture: "how many zeros right of the rightmost one of a"},
	{Name: "ones", Least: 1, Most: 1, Width: widthCounted, Call: "ones", Picture: "how many ones in a"},
	{Name: "parity", Least: 1, Most: 1, Width: widthOne, Call: "parity", Picture: "1 where the ones of a are odd in number"},

	{Name: "add", Least: 2, Most: 3, Width: widthAlike, Call: "add", Picture: "a + b + c in the complement of the machine"},
	{Name: "subtract", Least: 2, Most: 2, Width: widthAlike, Call: "subtract", Picture: "a - b in the complement of the machine"},
	{Name: "carry", Least: 2, Most: 3, Width: widthOne, Call: "carry", Picture: "the carry out of a + b + c"},
	{Name: "overflow", Least: 2, Most: 3, Width: widthOne, Call: "overflow", Picture: "1 where a + b + c has the wrong sign"},
	{Name: "less", Least: 2, Most: 2, Width: widthOne, Call: "less", Picture: "a below b, both with sign"},

	{Name: "add-decimal", Least: 2, Most: 3, Width: widthAlike, Call: "add-decimal", Picture: "a + b + c in digits of four bits"},
	{Name: "carry-decimal", Least: 2, Most: 3, Width: widthOne, Call: "carry-decimal", Picture: "the carry out of the top digit of a + b + c"},
	{Name: "multiply", Least: 2, Most: 2, Width: widthSum, Call: "multiply", Picture: "a times b, both without sign"},
	{Name: "divide", Least: 2, Most: 2, Width: widthFirst, Call: "divide", Picture: "a by b, both without sign; all ones where b is 0"},
	{Name: "remainder", Least: 2, Most: 2, Width: widthFirst, Call: "remainder", Picture: "what a by b leaves, both without sign; a where b is 0"},

	{Name: "transfer", Step: true, Picture: "Targets <- Sources"},
	{Name: "together", Step: true, Picture: "Body at once"},
	{Name: "let", Step: true, Picture: "Local <- Sources[0]"},
	{Name: "if", Step: true, Picture: "Body where Cond, Else where not"},
	{Name: "repeat", Step: true, Picture: "Body while Cond, Times at most"},
	{Name: "halt", Step: true, Picture: "stand still"},
	{Name: "wait", Step: true, Picture: "stay until Cond"},
	{Name: "spend", Step: true, Picture: "Sources[0] more cycles"},
	{Name: "restart", Step: true, Picture: "timer Index from its beginning"},
	{Name: "trap", Step: true, Picture: "trap Index, and no more of this order"},
}

// Ops lists every operation of Expr and Stmt, so that whoever carries them out can be held against the list.
func Ops() []Op { return append([]Op(nil), ops...) }

// operation finds an operation by its name; it must be there.
func operation(name string) Op {
	for _, op := range ops {
		if op.Name == name {
			return op
		}
	}
	panic("order: no operation " + name)
}

// function finds an operation by the name a machine file calls it by.
func function(name string) (Op, bool) {
	for _, op := range ops {
		if op.Call == name {
			return op, name != ""
		}
	}
	return Op{}, false
}

// functions are the names that can be called, for a hint.
func functions() []string {
	var names []string
	for _, op := range ops {
		if op.Call != "" {
			names = append(names, op.Call)
		}
	}
	return names
}
