package trail

import (
	"maps"
	"slices"

	"coldstart/memory"
)

// A source is the number of an origin in a record: origins are large, and are carried along with every value. 0 is the zero
// Origin.
type source uint32

// A sources is the origins that a record has met.
type sources struct {
	origins []memory.Origin
	numbers map[memory.Origin]source
}

// newSources has met the zero Origin.
func newSources() sources {
	return sources{make([]memory.Origin, 1), map[memory.Origin]source{{}: 0}}
}

// number is the number of an origin.
func (s *sources) number(o memory.Origin) source {
	if o.Kind == 0 && o == (memory.Origin{}) {
		return 0
	}
	n, ok := s.numbers[o]
	if !ok {
		n = source(len(s.origins))
		s.origins = append(s.origins, o)
		s.numbers[o] = n
	}
	return n
}

// taped tells whether a source is a word of a tape.
func (s *sources) taped(n source) bool { return n != 0 && s.origins[n].Kind == memory.Tape }

// clone has met the same.
func (s *sources) clone() sources { return sources{slices.Clip(s.origins), maps.Clone(s.numbers)} }

// told is a Write as others see it.
func (r *Record) told(w written) Write {
	return Write{Number: w.number, At: w.at, Place: w.place, Word: w.word, Origin: r.sources.origins[w.from],
		Stolen: w.stolen > 0, Channel: int(max(w.stolen-1, 0))}
}
