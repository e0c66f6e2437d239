package memory

import "strings"

// Status says what a read met: never written, parity wrong, protected, no reply, corrected.
type Status uint8

// The bits of a Status; zero is nothing to remark.
const (
	NeverWritten Status = 1 << iota // read from the fill, if only in part
	ParityWrong
	Protected // a write that was refused
	NoReply   // nothing answers at this address
	Corrected // the check bits named the one cell that was wrong, and it was put right for the reader
)

// statusNames are the remarks in the order of their bits.
var statusNames = [...]string{"never written", "parity wrong", "protected", "no reply", "corrected"}

// String is the remarks with a comma between them; nothing to remark is an empty string.
func (s Status) String() string {
	var remarks []string
	for i, name := range statusNames {
		if s>>i&1 == 1 {
			remarks = append(remarks, name)
		}
	}
	return strings.Join(remarks, ", ")
}
