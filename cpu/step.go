// Package cpu is one processor half: the registers of a Code on a Bus. It takes one order at a time, springs traps,
// keeps the time, and shows an Observer all that an order read, wrote and decided.
package cpu

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Time is simulated time since power-up in picoseconds; a machine file without a clock counts one an order.
type Time int64

// The units a Time is written in.
const (
	Microsecond Time = 1_000_000
	Millisecond Time = 1_000_000_000
	Second      Time = 1_000_000_000_000
)

// A Step records all that one order read, wrote and decided. It belongs to the Machine: whoever wants to keep one copies it.
type Step struct {
	Number    int64         // orders begun since power-up, this one included
	At, Done  Time          // when it began, when it was done
	Place     memory.Addr   // where its first word stands
	Words     []memory.Word // the words fetched, as the machine saw them
	Fields    []memory.Word // the values of the order's fields
	Order     *order.Order  // nil: no order reads the word, or a trap or timer came before it was known
	Uses      []Use         // registers read
	Reads     []Access      // store words read, fetches left out
	Writes    []Access      // store words written: Word is what was asked to be stored
	Stolen    []Stolen      // by devices before the order was begun: as many of the first of Writes are theirs
	Changes   []Change      // registers set, in the order they were set
	Exchanges []Exchange    // what passed over the channels
	Trap      *Trap         // nil: none
	Waiting   bool          // the order is `wait` and what it waits for has not come
	Halted    bool          // the machine stands still after this order
}

// A Use is a register read by an order, with the value read.
type Use struct {
	Register *order.Register
	Value    memory.Word
	Unknown  bool // nothing has set the register since power-up: the value is the fill's
}

// An Access is a store word read or written, with what was read or was to be written, and what the store said; of a write
// ParityWrong says that its parity was made wrong on purpose.
type Access struct {
	Addr   memory.Addr
	Word   memory.Word
	Status memory.Status
}

// A Stolen says which device put a word into store itself, and where the word came from.
type Stolen struct {
	Code   int // of the channel
	Origin memory.Origin
}

// A Change is a register set by an order.
type Change struct {
	Register *order.Register
	Old, New memory.Word
}

// An Exchange is one channel action and its reply.
type Exchange struct {
	Action Action
	Reply  Reply
}

// A Trap is an event inside the machine; it is never a Go error.
type Trap struct {
	Kind  *order.Trap
	Place memory.Addr // of the order it came in
	Addr  memory.Addr // the store address concerned, for parity, no-reply and protected
	Code  int         // the channel concerned, for no-reply from a channel; -1 otherwise
}

// An Observer is shown every step of a Machine, after it is done.
type Observer interface {
	Observe(*Step)
}

// A Verb is what an order asks of a channel.
type Verb uint8

// What an order can ask of a channel.
const (
	Receive Verb = iota // a word from the channel
	Send                // a word to the channel
	Command             // a command to the channel
	Sign                // the state of one of its signs
	Steal               // a word that the device puts into store itself; no order asks for it, but the machine before each
	Rises               // how often one of its signs has come up; no order asks it, but the machine for a flip-flop that a sign sets
)

// String is the verb as a person reads it.
func (v Verb) String() string {
	return [...]string{"receive", "send", "command", "sign", "steal", "rises"}[v]
}

// An Action is one thing an order asks of a channel.
type Action struct {
	Verb Verb
	Code int         // of the channel
	Sign int         // for Sign and Rises: its number
	Word memory.Word // for Send and Command
	Half int         // of a pair: 1 for B; 0 for A, or where there is one half alone
}

// A Reply is what a channel gives back.
type Reply struct {
	Word   memory.Word   // for Receive, Steal and Rises; 0 or 1 for Sign
	Origin memory.Origin // for Receive: where the word came from
	None   bool          // nobody answers at this code, or for Steal: there is no word
	Addr   memory.Addr   // for Steal: where the first word of several goes, and how many places on from there this one does
	On     int
}

// Ports is what a Machine needs of the channels around it.
type Ports interface {
	// Do carries out one action at the given time; times never go back.
	Do(a Action, now Time) Reply
	// Next is when a channel next changes by itself, later than now; Never where none will.
	Next(now Time) Time
}

// Never is later than any time a machine reaches.
const Never = Time(1<<63 - 1)
