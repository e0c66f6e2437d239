package channel

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/memory"
)

// directly is a drive that puts blocks into store, with a tape of three.
func directly() (*Drive, desk) {
	spec := DefaultDrive()
	spec.Commands[direct], spec.Signs[locked] = 5, 5
	d := NewDrive(spec)
	d.Seat(reel{{0o525252, 11, 12}, {0o525252, 21}, {0o525252, 31}})
	return d, desk{d}
}

// stolen is what a drive puts into store of a half, up to a time.
func stolen(k desk, at cpu.Time, half int) (all []string) {
	for {
		r := k.d.Do(cpu.Action{Verb: cpu.Steal, Half: half}, at)
		if r.None {
			return all
		}
		all = append(all, fmt.Sprintf("%o+%d %d", r.Addr, r.On, r.Word))
	}
}

// One block goes into store, each word when it has passed the head, and only there; then its length waits, and the tape rests.
func TestDirect(t *testing.T) {
	const us = cpu.Microsecond
	_, k := directly()
	k.send(0, 0o1000)
	k.command(0, 5)
	for _, step := range []struct {
		at   cpu.Time
		want []string
	}{
		{5125*us - 1, nil}, {5125 * us, []string{"1000+0 174762"}}, {5375 * us, []string{"1000+1 11", "1000+2 12"}}, {20 * cpu.Millisecond, nil},
	} {
		if k.sign(step.at, ready) != (step.at >= 5375*us) {
			t.Errorf("at %v ready is %t", step.at, k.sign(step.at, ready))
		}
		if diff := cmp.Diff(step.want, stolen(k, step.at, 0)); diff != "" {
			t.Errorf("at %v (-want +got)\n%s", step.at, diff)
		}
	}
	if k.sign(20*cpu.Millisecond, moving) || k.sign(20*cpu.Millisecond, late) {
		t.Error("the tape has not come to rest, or a word was late")
	}
	if got := k.receive(20 * cpu.Millisecond); got != (cpu.Reply{Word: 3}) {
		t.Errorf("received %+v, want 3 words", got)
	}
	// The next block as ever, word by word.
	k.command(20_000, 1)
	if got := k.receive(25125 * us).Word; got != 0o525252 {
		t.Errorf("received %o of the next block", got)
	}
	if got := stolen(k, 25250*us, 0); got != nil {
		t.Errorf("put into store: %v", got)
	}
}

// The words go to the half that gave the command, and a copy of the drive gives them once more.
func TestDirectIntoWhichHalf(t *testing.T) {
	d, k := directly()
	k.d.Do(cpu.Action{Verb: cpu.Send, Word: 0o200, Half: 1}, 0)
	k.d.Do(cpu.Action{Verb: cpu.Command, Word: 5, Half: 1}, 0)
	const end = 6 * cpu.Millisecond
	if got := stolen(k, end, 0); got != nil {
		t.Errorf("A was given %v", got)
	}
	c := desk{d.Clone()}
	want := []string{"200+0 174762", "200+1 11", "200+2 12"}
	for _, k := range []desk{k, c} {
		if diff := cmp.Diff(want, stolen(k, end, 1)); diff != "" {
			t.Errorf("B was given (-want +got)\n%s", diff)
		}
	}
}

func TestWriteLock(t *testing.T) {
	d, k := directly()
	if !k.sign(0, locked) {
		t.Error("a tape is seated, and it can be written on")
	}
	d.Seat(nil)
	if k.sign(0, locked) {
		t.Error("locked without a tape")
	}
	open := DefaultDrive()
	open.Signs[locked], open.Unlocked = 5, true
	d = NewDrive(open)
	d.Seat(reel{{1}})
	if (desk{d}).sign(0, locked) {
		t.Error("locked though its lock is off")
	}
}

// A bit held on the way to the machine is held on the way into its store too.
func TestDirectThroughAStuckBit(t *testing.T) {
	d, _ := directly()
	var r Rack
	r.Put(1, d)
	if err := r.Jam(1, Fault{Part: ReceiveBit, Bit: 0, Value: 0}); err != nil {
		t.Fatal(err)
	}
	r.Do(cpu.Action{Verb: cpu.Command, Code: 1, Word: 5}, 0)
	r.Do(cpu.Action{Verb: cpu.Steal, Code: 1}, 6*cpu.Millisecond)
	if got := r.Do(cpu.Action{Verb: cpu.Steal, Code: 1}, 6*cpu.Millisecond).Word; got != memory.Word(10) {
		t.Errorf("word 11 went into store as %d, want 10", got)
	}
}
