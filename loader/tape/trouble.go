package tape

import "errors"

// What can be wrong with a block. A BlockError wraps one of these.
var (
	ErrMark      = errors.New("block mark wrong")
	ErrShort     = errors.New("block cut short")
	ErrLong      = errors.New("block too long")
	ErrShifted   = errors.New("bits slipped")
	ErrPolarity  = errors.New("polarity inverted")
	ErrBackwards = errors.New("recorded backwards")
	ErrRubbish   = errors.New("no block")
	ErrByte      = errors.New("stray bits")
	ErrField     = errors.New("field too large")
	ErrCount     = errors.New("count wrong")
	ErrParity    = errors.New("parity wrong")
	ErrCheck     = errors.New("block check wrong")
	ErrSum       = errors.New("sum wrong")
	ErrBlank     = errors.New("passes, but blank")
	ErrNumber    = errors.New("block out of order")
	ErrDuplicate = errors.New("block recorded twice")
	ErrMissing   = errors.New("block missing")
)

// ErrEmpty is the error of a recording without a single byte.
var ErrEmpty = errors.New("the recording is empty; is this the right file?")
