package memory

// Status says what a read met: never written, parity wrong, protected, no reply.
type Status uint8

// The bits of a Status; zero is nothing to remark.
const (
	NeverWritten Status = 1 << iota // read from the fill
	ParityWrong
	Protected // a write that was refused
	NoReply   // nothing answers at this address
)
