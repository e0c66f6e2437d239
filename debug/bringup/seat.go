package bringup

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/channel"
	"coldstart/loader"
	"coldstart/loader/list"
)

// A Seat is a recording for a drive of an office, in the place of the one that the office names for it.
type Seat struct {
	Channel string // of the drive; "" where there is no choice
	File    string // the name it goes by in origins and errors
	Data    []byte
	Lineage []byte // what lies beside it under its name with LineageSuffix; nil where nothing does
}

// A seating is a recording on its way to a drive.
type seating struct {
	loader.Seat
	given *Seat // nil: the office names it
}

// read gives the bytes of the recording.
func (s seating) read(r *reading) ([]byte, error) {
	part := "tape " + s.At.Text
	if s.given != nil {
		r.office.Files = append(r.office.Files, File{Part: part, Name: s.File.Text, Given: true})
		return s.given.Data, nil
	}
	return r.file(part, s.File)
}

// seatings are the recordings the office names, those given in the place of theirs.
func (r *reading) seatings() ([]seating, error) {
	var all []seating
	for _, s := range r.names.Tapes {
		all = append(all, seating{Seat: s})
	}
	drives, err := r.office.drives()
	if err != nil {
		return nil, err
	}
	for i := range r.given {
		g := &r.given[i]
		name, err := g.drive(r.names.Tapes, drives)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", list.Safe(g.File), err)
		}
		// What is written on the office's reel says nothing of this recording, so it goes without a label.
		s := seating{Seat: loader.Seat{At: list.Word{Text: name}, File: list.Word{Text: g.File}}, given: g}
		at := slices.IndexFunc(all, func(s seating) bool { return s.At.Text == name })
		switch {
		case at < 0:
			all = append(all, s)
		case all[at].given != nil:
			return nil, fmt.Errorf("%s: drive %s has been given %s already; seat one of the two", list.Safe(g.File), name, list.Safe(all[at].File.Text))
		default:
			all[at] = s
		}
	}
	return all, nil
}

// drive is the channel that a recording goes to: the one said, the only one that has a tape, or the only drive.
func (g *Seat) drive(tapes []loader.Seat, drives []string) (string, error) {
	switch {
	case g.Channel != "" && slices.Contains(drives, g.Channel):
		return g.Channel, nil
	case len(drives) == 0:
		return "", fmt.Errorf("this office has no tape drive to seat it on; give it a `device CHANNEL tape` line")
	case g.Channel != "":
		return "", fmt.Errorf("%s", list.Unknown("tape drive", g.Channel, drives))
	case len(tapes) == 1:
		return tapes[0].At.Text, nil
	case len(drives) == 1:
		return drives[0], nil
	}
	return "", fmt.Errorf("it could go on any of %s; say which, as in %s=FILE", strings.Join(drives, ", "), drives[0])
}

// drives are the channels of tape drives, in the order of the machine file.
func (o *Office) drives() ([]string, error) {
	rack, err := o.rack()
	if err != nil {
		return nil, err
	}
	var all []string
	for _, ch := range o.Code.Channels {
		if _, drive := rack.Device(ch.Code).(*channel.Drive); drive {
			all = append(all, ch.Name)
		}
	}
	return all, nil
}
