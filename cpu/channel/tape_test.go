package channel

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// reel is a tape for tests: words by position, their origins made from the position.
type reel [][]memory.Word

func (r reel) Len() int                  { return len(r) }
func (r reel) Words(i int) []memory.Word { return r[i] }
func (r reel) Origin(i, k int) memory.Origin {
	return memory.Origin{Kind: memory.Tape, File: "reel", Block: i, Word: k - 1}
}

// A desk does to one device what a program would, at times given in microseconds.
type desk struct{ d Device }

func (k desk) command(us int64, number memory.Word) {
	k.d.Do(cpu.Action{Verb: cpu.Command, Word: number}, cpu.Time(us)*cpu.Microsecond)
}

func (k desk) send(at cpu.Time, w memory.Word) {
	k.d.Do(cpu.Action{Verb: cpu.Send, Word: w}, at)
}

func (k desk) receive(at cpu.Time) cpu.Reply {
	return k.d.Do(cpu.Action{Verb: cpu.Receive}, at)
}

func (k desk) sign(at cpu.Time, n int) bool {
	return k.d.Do(cpu.Action{Verb: cpu.Sign, Sign: n}, at).Word == 1
}

// signs are the signs of a drive that are up, as a word: RGELM for ready, gap, end, late, moving, small where down.
func (k desk) signs(at cpu.Time) string {
	up, down, text := "RGELM", "rgelm", ""
	for n := range len(up) {
		if k.sign(at, n) {
			text += up[n : n+1]
		} else {
			text += down[n : n+1]
		}
	}
	return text
}
