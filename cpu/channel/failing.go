package channel

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// dead is whether nobody answers this time.
func (fs *faults) dead() bool {
	for _, in := range fs.lines {
		if in.Part == Dead && !in.rests {
			dead := in.Fires()
			in.Note(dead)
			return dead
		}
	}
	return false
}

// through is a word as it comes out of the lines of some part, or a sign as it does.
func (fs *faults) through(p Part, w memory.Word) memory.Word {
	for _, in := range fs.lines {
		if in.Part == p && !in.rests {
			w = in.hold(w, in.Bit)
		}
	}
	return w
}

// sign is sign n as it comes out.
func (fs *faults) sign(n int, w memory.Word) memory.Word {
	for _, in := range fs.lines {
		if in.Part == SignLine && in.Bit == n && !in.rests {
			w = in.hold(w, 0)
		}
	}
	return w
}

// hold makes a bit of a word the value of the fault, if it acts.
func (in *failing) hold(w memory.Word, bit int) memory.Word {
	before := w
	if in.Fires() {
		w = w&^(1<<bit) | memory.Word(in.Value)<<bit
	}
	in.Note(w != before)
	return w
}

// read is a word of a tape as the head reads it.
func (fs *faults) read(w memory.Word, from memory.Origin) memory.Word {
	if fs == nil || len(fs.spots) == 0 {
		return w
	}
	for _, in := range fs.spots[spot{from.Block, from.Word}] {
		if in.Part != TapeBit || in.rests {
			continue
		}
		turned := in.Fires()
		if in.Note(turned); turned {
			w ^= 1 << in.Bit
		}
	}
	return w
}

// missing is whether nothing can be read where a block stands; counted is whether the head came there.
func (fs *faults) missing(block int, counted bool) bool {
	if fs == nil {
		return false
	}
	for _, in := range fs.spots[spot{block, -1}] {
		switch {
		case in.Part != TapeMissing || in.rests:
		case !counted:
			return in.OneIn < 2
		default:
			missing := in.Fires()
			in.Note(missing)
			return missing
		}
	}
	return false
}

// gap is how long the gap before a block lasts that should last so long.
func (fs *faults) gap(block int, should cpu.Time) cpu.Time {
	if fs == nil {
		return should
	}
	for _, in := range fs.spots[spot{block, -1}] {
		if in.Part == TapeGap && !in.rests {
			short := in.Fires()
			if in.Note(short); short {
				return in.Gap
			}
		}
	}
	return should
}
