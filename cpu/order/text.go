package order

import (
	"strconv"
	"strings"
)

// String is the value as a machine file writes it; what is itself between operators is bracketed.
func (e *Expr) String() string {
	switch e.Op {
	case "const", "register", "group", "field", "local":
		return e.Name
	case "here":
		return e.Op
	case "store":
		if e.Name != "" { // a piece, with its width as typed
			return "store[" + e.list() + ", " + e.Name + "]"
		}
		return "store[" + e.list() + "]"
	case "wrong-parity":
		if e.Name != "" { // one column
			return "wrong-parity[" + e.list() + ", " + e.Name + "]"
		}
		return "wrong-parity[" + e.list() + "]"
	case "channel", "command", "sign":
		return e.Op + "[" + e.list() + "]"
	case "not":
		return "not " + e.Args[0].inner()
	case "bits":
		return e.Args[0].inner() + "." + e.Name
	case "join":
		left := e.Args[0].inner()
		if e.Args[0].Op == "join" {
			left = e.Args[0].String() // a:b:c joins from the left
		}
		return left + ":" + e.Args[1].inner()
	case "cond":
		return "if " + e.Args[0].String() + " then " + e.Args[1].inner() + " else " + e.Args[2].inner()
	case "extend", "cut", "sign-extend":
		return operation(e.Op).Call + "(" + e.Args[0].String() + ", " + strconv.Itoa(e.Width) + ")"
	}
	if call := operation(e.Op).Call; call != "" {
		return call + "(" + e.list() + ")"
	}
	return e.Args[0].inner() + " " + e.Op + " " + e.Args[1].inner()
}

// inner is the text of a part of something larger.
func (e *Expr) inner() string {
	switch e.Op {
	case "not", "cond", "join", "and", "or", "xor", "+", "-", "=", "/=", "<", "<=", ">", ">=":
		return "(" + e.String() + ")"
	}
	return e.String()
}

// list is the arguments between commas.
func (e *Expr) list() string {
	var text []string
	for _, arg := range e.Args {
		text = append(text, arg.String())
	}
	return strings.Join(text, ", ")
}

// each calls do with the value and every value in it.
func (e *Expr) each(do func(*Expr)) {
	do(e)
	for _, arg := range e.Args {
		arg.each(do)
	}
}
