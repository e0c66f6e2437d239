package debug

import (
	"fmt"
	"slices"
	"strings"
)

// deepest is how many routines may follow one another.
const deepest = 8

// follow carries out the lines of a routine, up to the first that cannot be.
func (s *Session) follow(args []string) error {
	name := args[0]
	switch {
	case slices.Contains(s.following, name):
		return fmt.Errorf("%s follows itself, by way of %s: that would never end", name, strings.Join(s.following, ", "))
	case len(s.following) == deepest:
		return fmt.Errorf("%d routines follow one another, the most there can be", deepest)
	}
	src, err := s.open(name)
	if err != nil {
		return err
	}
	s.following = append(s.following, name)
	defer func() { s.following = s.following[:len(s.following)-1] }()
	for i, line := range strings.Split(string(src), "\n") {
		line = strings.TrimSpace(strings.ReplaceAll(line, "\t", " "))
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		s.say("%s%s", s.Prompt(), line)
		if err := s.Do(line); err != nil {
			return fmt.Errorf("%s:%d: %w", name, i+1, err)
		}
		if s.left || s.stop() {
			return nil
		}
	}
	return nil
}
