package debug

import (
	"fmt"

	"coldstart/cpu/channel"
	"coldstart/cpu/order"
	"coldstart/loader/list"
)

// seat puts another recording into a tape drive, its first block ahead of the head. A third word is the digest that the file
// must have: it is there when a session is played again.
func (s *Session) seat(args []string) error {
	ch, drive, err := s.drive(args[0])
	if err != nil {
		return err
	}
	file := args[1]
	var reel channel.Blocks
	digest := ""
	if len(args) > 2 {
		digest = args[2]
		reel = s.reels[digest]
	}
	if reel == nil {
		if s.tape == nil {
			return fmt.Errorf("no tape can be seated here: this machine runs without an office")
		}
		var is string
		if reel, is, err = s.tape(file); err != nil {
			return err
		}
		if digest != "" && digest != is {
			return fmt.Errorf("%s is another recording than the one seated then: put that one back", list.Safe(file))
		}
		digest = is
		s.reels[digest] = reel
	}
	drive.Seat(reel)
	s.did("seat", ch.Name, file, digest)
	s.noted("%s seated on %s: %s", file, ch.Name, counted(int64(reel.Len()), "block"))
	return nil
}

// unseat takes the tape out of a drive.
func (s *Session) unseat(args []string) error {
	ch, drive, err := s.drive(args[0])
	if err != nil {
		return err
	}
	if !drive.Position(s.now()).Seated {
		return fmt.Errorf("no tape is seated on %s", ch.Name)
	}
	drive.Seat(nil)
	s.did("unseat", ch.Name)
	s.noted("the tape is taken out of %s", ch.Name)
	return nil
}

// drive is the tape drive at a channel.
func (s *Session) drive(name string) (*order.Channel, *channel.Drive, error) {
	var drives []string
	for _, ch := range s.code.Channels {
		d, ok := s.half.Rack.Device(ch.Code).(*channel.Drive)
		if ok && ch.Name == name {
			return ch, d, nil
		}
		if ok {
			drives = append(drives, ch.Name)
		}
	}
	if len(drives) == 0 {
		return nil, nil, fmt.Errorf("this machine has no tape drive")
	}
	return nil, nil, fmt.Errorf("%s", list.Unknown("tape drive", name, drives))
}
