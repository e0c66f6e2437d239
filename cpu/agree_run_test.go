package cpu_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/internal/oracle"
	"coldstart/cpu/internal/plan"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// forms is a machine whose orders are nearly all fused.
const fusing = "testdata/forms.machine"

// TestRunAgreesWithOracle runs random words unobserved, many orders at a time, so that it is the fused orders that are held
// against the oracle. Each store is gone through from a few places only, again and again: an order is fused when it was met
// before. Meanwhile orders write over orders, timers run out, jams of every kind are put in and taken out, and
// people key words in.
func TestRunAgreesWithOracle(t *testing.T) {
	met, ran := map[plan.Form]bool{}, 0
	machines := []struct{ path, complement string }{
		{office, "twos complement"}, {fusing, "twos complement"}, {fusing, "ones complement"}, {fusing, "sign-magnitude"},
		{corners, "twos complement"}, {rv32i, "twos complement"}, {cob, "ones complement"},
	}
	for _, tt := range machines {
		c := read(t, tt.path, tt.complement)
		t.Run(c.Name+"/"+tt.complement, func(t *testing.T) {
			done := int64(0)
			for seed := uint64(1); done < int64(*orders)/2; seed++ {
				p := newPair(c, seed)
				n, err := p.chunks(3000)
				if err != nil {
					t.Fatalf("seed %d: %v", seed, err)
				}
				done += n
				p.machine.FormsMet(met)
			}
			ran++
		})
	}
	all := ran == len(machines) && *orders >= 200_000 // enough to have met every form there is
	for f := plan.FormUnbound + 1; all && f < plan.Forms; f++ {
		if f.Picture() != "" && !met[f] {
			t.Errorf("no order had a step of form %d (%s): nothing is known of it", f, f.Picture())
		}
	}
}

// A pair is a machine and the oracle at the same state.
type pair struct {
	code       *order.Code
	rng        *rand.Rand
	chance     *rand.Rand // of jams with a memory
	machine    *cpu.Machine
	half       *oracle.Half
	fast, slow *memory.Store
	starts     []memory.Word
}

// newPair makes both, with a random store.
func newPair(c *order.Code, seed uint64) *pair {
	p := &pair{
		code: c, rng: rand.New(rand.NewPCG(seed, 81)), chance: rand.New(rand.NewPCG(seed, 82)),
		fast: memory.NewStore(c.Geometry, seed), slow: memory.NewStore(c.Geometry, seed),
	}
	scatter(c, p.rng, p.fast, p.slow)
	p.machine = cpu.New(c, p.fast, &noise{seed: seed}, seed)
	p.half = oracle.NewHalf(c, p.slow, nil)
	heard := &noise{seed: seed}
	p.half.Do, p.half.Next, p.half.Steal = heard.plainly, heard.next, heard.stolen
	p.fast.Clock(func() int64 { return int64(p.machine.Now()) })
	p.slow.Clock(func() int64 { return p.half.Now })
	for _, r := range c.Registers {
		p.half.Registers = append(p.half.Registers, p.machine.Value(r))
	}
	p.machine.Boot()
	p.half.Boot()
	for range 4 {
		p.starts = append(p.starts, anywhere(c, p.rng))
	}
	p.start()
	return p
}

// start sets both going at one of the few places.
func (p *pair) start() {
	at := p.starts[p.rng.IntN(len(p.starts))]
	p.machine.Set(p.code.Counter, at)
	p.half.Registers[p.code.Counter.Number], p.half.Halted, p.half.Waiting, p.half.Resumes = at, false, false, false
}

// chunks runs both for so many orders, in runs of any length, and looks at both after each.
func (p *pair) chunks(orders int64) (int64, error) {
	done := int64(0)
	for done < orders {
		n, until := p.rng.Int64N(40)+1, cpu.Never
		if p.rng.IntN(4) == 0 {
			until = p.machine.Now() + cpu.Time(p.rng.Int64N(50))*cpu.Microsecond
		}
		at := p.machine.Place()
		taken := p.machine.Run(n, until)
		for range taken {
			p.half.Step()
		}
		done += taken + 1 // a run may take none
		if err := differ(p.code, p.machine, p.half); err != nil {
			return done, fmt.Errorf("after %d orders, %d of them from %o on: %w", p.machine.Orders(), taken, at, err)
		}
		if taken < n && until > p.machine.Now() && !p.machine.Halted() {
			return done, fmt.Errorf("Run(%d, %v) took %d at %v, and the machine runs", n, until, taken, p.machine.Now())
		}
		p.meddle()
	}
	return done, differStores(p.code, p.fast, p.slow)
}

// anyJam is a jam of any kind, about one cell that is given, if it is about one.
func (p *pair) anyJam(a memory.Addr, column, value int) memory.Jam {
	bits := p.code.Geometry.AddrBits
	j := memory.Jam{
		Fault: memory.Fault(p.chance.IntN(int(memory.Fades) + 1)), Addr: a, Column: column, Value: value,
		By: memory.Cell{Addr: memory.Addr(anywhere(p.code, p.chance)), Column: p.chance.IntN(8)}, On: p.chance.IntN(2), With: p.chance.IntN(bits),
		Rows: 7, After: p.chance.Int64N(int64(cpu.Millisecond)) + 1, Seed: p.chance.Uint64(),
	}
	if p.chance.IntN(2) == 0 {
		j.OneIn = 2 + p.chance.Uint64N(4)
	}
	if j.Fault == memory.AddressLine || j.Fault == memory.AddressTied {
		j.Column = p.chance.IntN(bits)
	}
	return j
}

// meddle does to both what people do between two runs.
func (p *pair) meddle() {
	going := p.machine.Halted() && p.rng.IntN(2) == 0 && resume(p.machine, p.half)
	if p.machine.Halted() || !going && p.rng.IntN(20) == 0 {
		p.start()
	}
	a := memory.Addr(anywhere(p.code, p.rng))
	column, value := p.rng.IntN(p.code.Geometry.Area(a).Columns()), p.rng.IntN(2)
	w := memory.Word(p.rng.Uint64())
	if p.rng.IntN(2) == 0 {
		a = p.machine.Place() // where it hurts
	}
	do := p.rng.IntN(200)
	jam, j := p.chance.IntN(250) == 0, p.anyJam(a, column, value)
	for _, s := range []*memory.Store{p.fast, p.slow} {
		if jam {
			_ = s.Put(j)
		}
		switch do { // what one refuses the other refuses
		case 0:
			_ = s.Jam(a, column, value)
		case 1:
			for _, j := range s.Jams() {
				_ = s.Lift(j)
			}
		case 2:
			s.Write(a, w)
		}
	}
}
