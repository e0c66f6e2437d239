// Package bringup runs an office to its last milestone, or to the reason it was not reached, and says what it saw. It is
// given machine files, recordings and lists as bytes; what was jammed beforehand it is not told.
package bringup

import (
	"bytes"
	"errors"
	"fmt"
	"go/scanner"
	"go/token"
	"slices"

	"coldstart/cpu/channel"
	"coldstart/cpu/channel/code"
	"coldstart/cpu/channel/plant"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/loader/splice"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// An Opener gives the content of a file that an office names. An error that is fs.ErrNotExist says that there is no such file.
type Opener func(name string) ([]byte, error)

// An Office is what a run starts from: a machine file and what belongs in the machine. It never changes and may be shared.
type Office struct {
	Name  string
	Code  *order.Code
	Text  string      // of the machine file
	Plan  *watch.Plan // nil: nothing is expected of a run
	Areas loader.Areas
	Tapes []Tape
	Wired *memory.Image // words that stand in store at power-up
	Image *memory.Image // those, and what the tapes hold by their load maps

	Counts map[string]memory.Addr // where the program counts calls: offered, set-up, answered, released

	Files []File // that it was read from, in that order

	devices []list.Record
	codes   []*code.Set  // that its own lists name
	layout  *tape.Layout // of all its tapes; nil: it names none
}

// A File is one that an office was read from.
type File struct {
	Part  string // what it is for, such as "machine file" or "tape TC1"
	Name  string // as the office names it, or as it was given
	Given bool   // it is seated in the place of one that the office names
}

// A Tape is a recording seated on a channel.
type Tape struct {
	Channel   *order.Channel
	Label     string
	Recording *tape.Recording
	Map       *loader.Map
	Lineage   *splice.Lineage // what a merged recording came from, word for word; nil where nothing beside it says so
}

// Open reads an office list and every file it names, with other recordings seated where any are given. The error names the
// file concerned.
func Open(open Opener, name string, given ...Seat) (*Office, error) {
	src, err := open(name)
	if err != nil {
		return nil, err
	}
	names, err := loader.ReadOffice(name, src)
	if err != nil {
		return nil, err
	}
	o := &Office{Name: names.Name, devices: names.Devices}
	o.Files = append(o.Files, File{Part: "office list", Name: name})
	r := &reading{open: open, office: o, names: names, given: given}
	for _, part := range []func() error{r.machine, r.codes, r.wired, r.tapes, r.areas, r.chase, r.counts, r.check} {
		if err := part(); err != nil {
			return nil, err
		}
	}
	return o, nil
}

// A reading is an office on its way from its list.
type reading struct {
	open   Opener
	office *Office
	names  *loader.Office
	given  []Seat
}

// file reads a file that the office list names for some part.
func (r *reading) file(part string, w list.Word) ([]byte, error) {
	r.office.Files = append(r.office.Files, File{Part: part, Name: w.Text})
	return r.open(w.Text)
}

// machine reads the machine file.
func (r *reading) machine() error {
	src, err := r.file("machine file", r.names.Machine)
	if err != nil {
		return err
	}
	r.office.Text = string(src)
	r.office.Code, err = order.Read(r.names.Machine.Text, src)
	return err
}

// wired reads the words of wired store.
func (r *reading) wired() error {
	g := r.office.Code.Geometry
	r.office.Wired, r.office.Image = memory.NewImage(g), memory.NewImage(g)
	for _, seat := range r.names.Wired {
		src, err := r.file("words wired in "+seat.At.Text, seat.File)
		if err != nil {
			return err
		}
		im, err := loader.ReadWords(seat.File.Text, src, g)
		if err != nil {
			return err
		}
		if err := within(im, g, seat); err != nil {
			return err
		}
		if err := errors.Join(merge(r.office.Wired, im), merge(r.office.Image, im)); err != nil {
			return err
		}
	}
	return nil
}

// within refuses words that stand outside the area they are said to be wired in.
func within(im *memory.Image, g memory.Geometry, seat loader.Seat) error {
	for a := range im.All() {
		if area := g.Area(a); area == nil || area.Name != seat.At.Text {
			return at(seat.File.Pos, "%s has a word at %s, outside %s: name the area it belongs to, or look at its addresses",
				seat.File.Text, g.Style.Addr(a, g.AddrBits), seat.At.Text)
		}
	}
	return nil
}

// merge adds the words of one image to another.
func merge(to, from *memory.Image) error {
	for a, e := range from.All() {
		if err := to.Set(a, e.Word, e.Origin); err != nil {
			return err
		}
	}
	return nil
}

// at is one error at a place of a list.
func at(pos token.Position, format string, args ...any) error {
	return scanner.ErrorList{{Pos: pos, Msg: fmt.Sprintf(format, args...)}}
}

// tapes reads the layout and the recordings.
func (r *reading) tapes() error {
	all, err := r.seatings()
	if err != nil || len(all) == 0 {
		return err
	}
	if r.names.Layout.Text == "" {
		return at(all[0].File.Pos, "a tape needs a layout: add a line `layout FILE`")
	}
	src, err := r.file("tape layout", r.names.Layout)
	if err != nil {
		return err
	}
	if r.office.layout, err = tape.ReadLayout(r.names.Layout.Text, src); err != nil {
		return err
	}
	for _, seat := range all {
		if err := r.tape(seat, r.office.layout); err != nil {
			return err
		}
	}
	return nil
}

// tape reads one recording.
func (r *reading) tape(seat seating, layout *tape.Layout) error {
	c := r.office.Code
	ch := c.Channel(seat.At.Text)
	if ch == nil {
		return at(seat.At.Pos, "%s", list.Unknown("channel", seat.At.Text, channelNames(c)))
	}
	src, err := seat.read(r)
	if err != nil {
		return err
	}
	t := Tape{Channel: ch, Label: seat.Label}
	if t.Recording, err = tape.Read(layout, seat.File.Text, bytes.NewReader(src)); err != nil {
		return err
	}
	if t.Lineage, err = seat.lineage(r, src); err != nil {
		return err
	}
	var im *memory.Image
	im, t.Map = loader.Place(slices.Concat(t.Recording.Blocks, t.Recording.Missing), c.Geometry)
	r.office.Tapes = append(r.office.Tapes, t)
	return merge(r.office.Image, im)
}

// Recording reads a recording of the office's layout, which goes by the name of a file.
func (o *Office) Recording(file string, data []byte) (*tape.Recording, error) {
	if o.layout == nil {
		return nil, errors.New("no tape of this office has a layout, so none can be read: add lines `layout FILE` and `tape CHANNEL FILE` to its list")
	}
	return tape.Read(o.layout, file, bytes.NewReader(data))
}

// channelNames are the channels of a machine file.
func channelNames(c *order.Code) []string {
	var names []string
	for _, ch := range c.Channels {
		names = append(names, ch.Name)
	}
	return names
}

// areas reads the list of areas, if there is one.
func (r *reading) areas() error {
	if r.names.Areas.Text == "" {
		return nil
	}
	src, err := r.file("areas", r.names.Areas)
	if err != nil {
		return err
	}
	r.office.Areas, err = loader.ReadAreas(r.names.Areas.Text, src, r.office.Code.Geometry)
	return err
}

// codes reads the lists of codes that the team's teletypewriters speak.
func (r *reading) codes() error {
	for _, f := range r.names.Codes {
		src, err := r.file("codes of teletypewriters", f)
		if err != nil {
			return err
		}
		sets, err := channel.ReadCodes(f.Text, src, r.office.codes...)
		if err != nil {
			return err
		}
		r.office.codes = append(r.office.codes, sets...)
	}
	return nil
}

// chase reads the list of chases and milestones, if there is one.
func (r *reading) chase() error {
	if r.names.Chase.Text == "" {
		return nil
	}
	src, err := r.file("chases, milestones", r.names.Chase)
	if err != nil {
		return err
	}
	r.office.Plan, err = watch.Read(r.names.Chase.Text, src, r.office.Code)
	return err
}

// check makes the devices once, so that what is wrong with them is said now.
func (r *reading) check() error {
	_, err := r.office.rack()
	return err
}

// A Fitting is what stands at a channel of the machine.
type Fitting struct {
	Channel *order.Channel
	Kind    string // of device, as the office list has it; "" where nothing stands there
}

// Fittings are the channels of the machine file, in its order, with what stands at each.
func (o *Office) Fittings() []Fitting {
	var all []Fitting
	for _, ch := range o.Code.Channels {
		f := Fitting{Channel: ch}
		for _, rec := range o.devices {
			if args := rec.Args(); args[0].Text == ch.Name {
				f.Kind = args[1].Text
			}
		}
		all = append(all, f)
	}
	return all
}

// rack makes the devices of the office, its tapes seated.
func (o *Office) rack() (*channel.Rack, error) {
	var errs list.Errors
	rack := new(channel.Rack)
	put := func(name list.Word, d channel.Device) {
		ch := o.Code.Channel(name.Text)
		switch {
		case ch == nil:
			errs.Add(name.Pos, "%s", list.Unknown("channel", name.Text, channelNames(o.Code)))
		case rack.Device(ch.Code) != nil:
			errs.Add(name.Pos, "channel %s has a device already: give each channel one device line", name.Text)
		default:
			rack.Put(ch.Code, d)
		}
	}
	var exchange []list.Record
	for _, rec := range o.devices {
		if slices.Contains(plant.Kinds, rec.Args()[1].Text) {
			exchange = append(exchange, rec)
		} else if name, d := channel.Parse(&errs, rec, o.Code.Geometry.Style, o.codes, plant.Kinds...); d != nil {
			put(name, d)
		}
	}
	for _, f := range plant.Parse(&errs, exchange, &o.Code.Geometry) {
		put(f.Channel, f.Port)
	}
	for _, t := range o.Tapes {
		if d, ok := rack.Device(t.Channel.Code).(*channel.Drive); ok {
			d.Seat(t.Recording)
		}
	}
	return rack, errs.Err()
}

// Unseated names the channels of tape drives that no tape is seated on.
func (o *Office) Unseated() []string {
	drives, err := o.drives()
	if err != nil {
		return nil // Open would have said so
	}
	return slices.DeleteFunc(drives, func(name string) bool {
		return slices.ContainsFunc(o.Tapes, func(t Tape) bool { return t.Channel.Name == name })
	})
}

// Pair builds a pair of the office with its power off, as Half builds a half. Both halves reach the tape drives and the
// teletypewriters, and the exchange by ports of their own; a clock each half has to itself.
func (o *Office) Pair(fill uint64) (*duplex.Pair, error) {
	a, err := o.rack()
	if err != nil {
		return nil, err
	}
	b, err := o.rack()
	if err != nil {
		return nil, err
	}
	plant.Asks(b, 1)
	for _, ch := range o.Code.Channels {
		switch a.Device(ch.Code).(type) {
		case *channel.Drive, *channel.Teletypewriter, *plant.Port:
			b.Share(a, ch.Code)
		}
	}
	p, err := duplex.NewPair(o.Code, a, b, fill)
	if err != nil {
		return nil, err
	}
	return p, errors.Join(p.Half(0).Store.Load(o.Wired), p.Half(1).Store.Load(o.Wired))
}

// Half builds a half of the office with its power off: wired words in store, tapes seated. Words that nothing wrote hold
// what the fill makes.
func (o *Office) Half(name string, fill uint64) (*duplex.Half, error) {
	rack, err := o.rack()
	if err != nil {
		return nil, err
	}
	h := duplex.NewHalf(name, o.Code, rack, fill)
	return h, h.Store.Load(o.Wired)
}
