//go:build !liner

package cli

import (
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
)

// personSits is false where the program is built without line editing: a person's lines are then carried out as a routine.
func (s *sitting) personSits() bool { return false }

// converse has nobody to converse with.
func (s *sitting) converse(*bringup.Office, bringup.Start, []jam.Jam) error { return nil }
