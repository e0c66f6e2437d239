// Package duplex puts the parts of a control processor together: halves with their store, channels and lamps on one time
// line. A machine may be one half alone.
package duplex

import (
	"maps"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/order"
	"coldstart/cpu/panel"
	"coldstart/memory"
)

// A Half is one control processor with all that moves when it runs: its machine, store, channels and lamp drivers.
type Half struct {
	Name    string // A or B
	Machine *cpu.Machine
	Store   *memory.Store
	Rack    *channel.Rack
	Panel   *panel.Panel

	drivers map[string]*channel.LampDriver // by plug-in
	asked   map[memory.Addr]memory.Word    // what was last asked to be stored in a lamp row
	reached map[string]bool                // milestones, by name, as far as Reach was told
	changes int                            // of reached
}

// NewHalf builds a half with its power off. Store words and registers hold what the fill makes until something writes them.
func NewHalf(name string, code *order.Code, rack *channel.Rack, fill uint64) *Half {
	if d := code.Duplex; d != nil && d.Mate != nil && rack.Device(d.Mate.Code) == nil {
		rack.Put(d.Mate.Code, nobody{})
	}
	return newHalf(name, code, rack, rack, fill)
}

// nobody is the maintenance channel of a half that stands alone: it takes all it is told, and no sign of it ever comes up.
type nobody struct{}

func (nobody) Do(cpu.Action, cpu.Time) cpu.Reply { return cpu.Reply{} }
func (nobody) Next(cpu.Time) cpu.Time            { return cpu.Never }
func (n nobody) Clone() channel.Device           { return n }

// newHalf builds a half whose machine reaches its rack through ports.
func newHalf(name string, code *order.Code, rack *channel.Rack, ports cpu.Ports, fill uint64) *Half {
	h := &Half{
		Name: name, Rack: rack, Panel: panel.New(code),
		Store:   memory.NewStore(code.Geometry, fill),
		drivers: map[string]*channel.LampDriver{},
		asked:   map[memory.Addr]memory.Word{},
		reached: map[string]bool{},
	}
	h.Machine = cpu.New(code, h.Store, ports, fill)
	h.Store.Clock(func() int64 { return int64(h.Machine.Now()) })
	for _, l := range code.Lamps {
		h.drivers[l.PlugIn] = channel.NewLampDriver(h.Machine.Orders)
	}
	return h
}

// Driver is the lamp driver on a plug-in; nil where the machine file has none there.
func (h *Half) Driver(plugIn string) *channel.LampDriver { return h.drivers[plugIn] }

// Asked notes what a step asked to be stored in lamp rows; it tells whether there was any.
func (h *Half) Asked(s *cpu.Step) bool {
	some := false
	for i := range s.Writes {
		w := &s.Writes[i]
		if _, lamps := h.Panel.Row(w.Addr); lamps && w.Status&(memory.Protected|memory.NoReply) == 0 {
			h.asked[w.Addr] = w.Word
			some = true
		}
	}
	return some
}

// Reach notes that the run has come to a milestone, as whoever watches it tells.
func (h *Half) Reach(milestone string) {
	h.reached[milestone] = true
	h.changes++
}

// Reached tells whether the run has come to a milestone.
func (h *Half) Reached(milestone string) bool { return h.reached[milestone] }

// Changes is a number that is another one when what Reached tells may be otherwise than before.
func (h *Half) Changes() int { return h.changes }

// Picture is the lamps as they are now, each row with what was asked of it as far as Asked was told.
func (h *Half) Picture() panel.Picture { return h.Panel.Picture(h.source()) }

// Lamps draws the lamp rows as they are now.
func (h *Half) Lamps() string {
	s := h.source()
	s.Register = nil
	return h.Panel.Picture(s).String()
}

// Line is one lamp row as it is now.
func (h *Half) Line(row panel.Row) panel.Line {
	seen := h.Seen(row.Addr)
	asked, ok := h.asked[row.Addr]
	if !ok {
		asked = seen
	}
	return panel.Line{Row: row, Asked: asked, Seen: seen, Lit: h.light(row.Addr, seen)}
}

// source is where a picture gets its words from.
func (h *Half) source() panel.Source {
	return panel.Source{
		Asked:    func(a memory.Addr) (memory.Word, bool) { w, ok := h.asked[a]; return w, ok },
		Seen:     h.Seen,
		Light:    h.light,
		Register: h.Machine.Value,
	}
}

// Value is what a register holds.
func (h *Half) Value(r *order.Register) memory.Word { return h.Machine.Value(r) }

// Lit is a one for each lamp lit of those that the store word at an address drives.
func (h *Half) Lit(row memory.Addr) memory.Word { return h.light(row, h.Seen(row)) }

// Word is a store word as the machine sees it; it is not known where nothing wrote it since power-up.
func (h *Half) Word(a memory.Addr) (w memory.Word, known bool) {
	_, w, st := h.Store.Peek(a)
	return w, st&memory.NeverWritten == 0
}

// Seen is a store word as the machine sees it.
func (h *Half) Seen(a memory.Addr) memory.Word {
	_, w, _ := h.Store.Peek(a)
	return w
}

// light is which lamps of a row are lit while a word stands in it.
func (h *Half) light(row memory.Addr, w memory.Word) memory.Word {
	r, ok := h.Panel.Row(row)
	if !ok {
		return 0
	}
	return h.drivers[r.PlugIn].Light(row, r.Lights(w)) & (memory.Mask(r.Hi-r.Lo+1) << r.Lo)
}

// A State is the whole state of a Half at one moment. Jams are no part of it: they are the bench's. What jams remember is.
type State struct {
	machine cpu.Snapshot
	store   *memory.Snapshot
	rack    *channel.Rack
	asked   map[memory.Addr]memory.Word
	reached map[string]bool
}

// Keep copies the state; store pages that have not changed are shared with states kept before.
func (h *Half) Keep() State {
	return State{machine: h.Machine.Snapshot(), store: h.Store.Snapshot(), rack: h.Rack.Clone(),
		asked: maps.Clone(h.asked), reached: maps.Clone(h.reached)}
}

// Recall brings the half back to a state kept of it; what is run from there is the same again.
func (h *Half) Recall(s State) error {
	if err := h.Store.Restore(s.store); err != nil {
		return err
	}
	h.Rack.Restore(s.rack)
	h.asked, h.reached = maps.Clone(s.asked), maps.Clone(s.reached)
	h.changes++
	h.Machine.Restore(s.machine) // last: it lets the bench see how all stands
	return nil
}
