package cpu

import (
	"math"

	"coldstart/cpu/internal/plan"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Machine is one processor half running a Code on a Bus.
type Machine struct {
	code   *order.Code
	bus    memory.Bus
	ports  Ports
	file   *plan.File // register values, and what bound orders need beside them
	adder  plan.Adder
	binder *plan.Binder
	bounds bounds
	traps  []trapPlan
	boot   *plan.Bound
	cells  *memory.Store // nil: orders are taken one by one
	laid   []*fast       // the parts of the store that orders were run in, laid open
	fast   *fast         // the one the machine is in

	now       Time
	orders    int64
	deadlines []Time // of the timers; Never where one does not run
	restarts  []Time // when each was last restarted; -1 where it never was
	next      Time   // the earliest deadline
	spent     int64  // cycles that the order acting spends beyond its cost
	halted    bool
	resumes   bool // halted, and the resume key sets it going
	waiting   bool
	paused    bool
	trap      *Trap         // the last one
	springing int           // traps springing now, one inside the other
	mended    []memory.Addr // the word that the order acting got last of those put right as they were read; none, mostly

	interrupts  []interruptPlan
	requests    []requestPlan
	stealing    []*order.Channel // channels whose devices put words into store themselves
	protects    []*plan.Bound    // the conditions of Code.Protects
	atAddresses []*order.Channel // channels that stand at store addresses
	trueLow     []*order.Channel // channels with lines held true-low
	units       memory.Units     // the bus as pieces of words; nil where the machine has none
	observer    Observer
	logic       *logic // what fails in it; nil: nothing
	bench       Bench  // nil: nobody
	duplex      duplexPlan
	watched     bool          // somebody wants to know when the on-line flip-flop changes
	mirrors     []*plan.Bound // the conditions of Code.Mirrors
	mirror      func(a memory.Addr, w memory.Word, bits int, copied bool)
	step        Step
	known       []bool         // registers that something has set, while observed
	fetched     [1]memory.Word // the word of an order that may turn out to be none
}

// New makes a machine with its power off: registers hold values made from the fill, as store does, and Boot starts it.
// The code may be shared with other machines; bus and ports may not.
func New(code *order.Code, bus memory.Bus, ports Ports, fill uint64) *Machine {
	f := plan.NewFile(code)
	m := &Machine{
		code: code, bus: bus, ports: ports, file: f,
		adder:     plan.AdderOf(code.Complement),
		binder:    plan.NewBinder(code, f),
		bounds:    newBounds(code.PlaceBits()),
		deadlines: make([]Time, len(code.Timers)),
		restarts:  make([]Time, len(code.Timers)),
		known:     make([]bool, len(code.Registers)),
		requests:  requests(code),
		halted:    true,
	}
	m.units, _ = bus.(memory.Units)
	for i, r := range code.Registers {
		f.Words[i] = memory.Fill(fill, ^uint64(i), r.Width) // numbers no address has
		if r.Keys {
			f.Words[i], m.known[i] = r.Keyed(r.Start), true
		}
	}
	for _, ch := range code.Channels {
		if ch.At != nil {
			m.atAddresses = append(m.atAddresses, ch)
		}
		if ch.Steals > 0 {
			m.stealing = append(m.stealing, ch)
		}
		if ch.TrueLow() {
			m.trueLow = append(m.trueLow, ch)
		}
	}
	m.cells = m.fusable()
	m.bindTraps()
	m.stopTimers()
	return m
}

// Boot does what the machine file's boot rule says, at once and at no cost, and lets the machine run.
func (m *Machine) Boot() {
	m.halted, m.resumes = false, false
	m.listen()
	m.begin(0)
	m.exec(m.boot, 0)
}

// Code is the machine file this machine runs.
func (m *Machine) Code() *order.Code { return m.code }

// Now is the time the machine has come to.
func (m *Machine) Now() Time { return m.now }

// Orders is how many orders have been begun since power-up.
func (m *Machine) Orders() int64 { return m.orders }

// Halted tells whether the machine stands still: never started, halted, or stopped by a trap.
func (m *Machine) Halted() bool { return m.halted }

// Resumes tells whether the machine is halted so that Resume sets it going: by a halt, in no trap, that is not for good.
func (m *Machine) Resumes() bool { return m.resumes }

// Resume is the resume key: a machine that a halt stopped goes on where its order counter stands, and true is given. One that
// is not halted, that a trap stopped, that halted for good or was never started stays as it is, and false is given.
func (m *Machine) Resume() bool {
	if !m.resumes {
		return false
	}
	m.halted, m.waiting, m.resumes = false, false, false
	return true
}

// stand lets the machine stand still. Of several reasons for it in one order, one that no key helps against is enough.
func (m *Machine) stand(resumes bool) {
	m.resumes = resumes && (m.resumes || !m.halted)
	m.halted = true
}

// Waiting tells whether the machine stands in an order that waits.
func (m *Machine) Waiting() bool { return m.waiting }

// LastTrap is the last trap that sprang; nil where none did.
func (m *Machine) LastTrap() *Trap { return m.trap }

// Deadline is when the first of the timers runs out; Never where none runs.
func (m *Machine) Deadline() Time { return m.next }

// Place is the address of the next order.
func (m *Machine) Place() memory.Addr { return memory.Addr(m.file.Words[m.code.Counter.Number]) }

// Value is what a register holds.
func (m *Machine) Value(r *order.Register) memory.Word { return m.file.Words[r.Number] }

// Known tells whether anything has set a register since power-up, as far as an Observer was there to see; what is not known
// holds what the fill makes.
func (m *Machine) Known(r *order.Register) bool { return m.known[r.Number] }

// Set gives a register a value, of keys the one that orders read; what is wider than the register is cut off. Setting the
// counter of a halted machine lets it run from there.
func (m *Machine) Set(r *order.Register, w memory.Word) {
	m.file.Words[r.Number] = w & memory.Mask(r.Width)
	m.known[r.Number] = true
	m.settle()
	if r == m.code.Counter {
		m.halted, m.waiting, m.resumes = false, false, false
	}
}

// Observe lets o be shown every step from now on; nil ends it. Without one a step allocates nothing.
func (m *Machine) Observe(o Observer) { m.observer = o }

// A Bench is who puts faults in and out while a machine runs.
type Bench interface {
	// Turn is called before each order is begun, and whenever a state was put back.
	Turn()
	// Touch is called before the machine reads or writes the word at an address, or fetches it as an order.
	Touch(a memory.Addr)
}

// Attend lets b put faults in and out from now on, and looks at what it wants at once; nil ends it.
func (m *Machine) Attend(b Bench) {
	if m.bench = b; b != nil {
		b.Turn()
	}
}

// Bench is who attends to the machine; nil where nobody does.
func (m *Machine) Bench() Bench { return m.bench }

// Pause lets Run end after the order acting. An Observer calls it.
func (m *Machine) Pause() { m.paused = true }

// Run takes orders until n are done, until the time is reached, until an Observer calls Pause, or until the machine
// stands still; it gives the number taken. An order that waits counts each time it looks.
func (m *Machine) Run(n int64, until Time) int64 {
	m.paused = false
	taken := int64(0)
	fused := m.observer == nil && m.cells != nil && m.logic == nil && m.bench == nil
	for taken < n && m.now < until && !m.halted && !m.paused {
		entered := fused && m.enter()
		if entered {
			some, gaveWay := m.runFused(n-taken, until)
			if taken += some; some > 0 && !gaveWay {
				continue
			}
		}
		place := m.Place()
		m.Step()
		taken++
		if entered {
			m.learn(place)
		}
	}
	return taken
}

// stopTimers sets every timer at rest.
func (m *Machine) stopTimers() {
	for i := range m.deadlines {
		m.deadlines[i], m.restarts[i] = Never, -1
	}
	m.next = Never
}

// restart lets timer n run anew from now; false where it was restarted too early and its trap sprang instead.
func (m *Machine) restart(n uint8) bool {
	t, last := m.code.Timers[n], m.restarts[n]
	m.restarts[n] = m.now
	if t.Early > 0 && last >= 0 && m.now-last < Time(t.Early) && !m.logic.dead(int(n)) {
		m.spring(t.EarlyTrap.Number, m.Place(), -1)
		return false
	}
	m.deadlines[n] = m.now + Time(m.code.Timers[n].Period)
	m.next = Never
	for _, d := range m.deadlines {
		m.next = min(m.next, d)
	}
	return true
}

// pass moves time on by some cycles.
func (m *Machine) pass(cycles int64) {
	if m.code.Cycle == 0 {
		m.now++
		return
	}
	t := Time(cycles) * Time(m.code.Cycle)
	if m.logic != nil {
		t = m.logic.lasts(t)
	}
	m.now += t
}

// Forever is a number of orders that no run reaches.
const Forever = math.MaxInt64
