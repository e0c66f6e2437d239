package watch

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/memory"
)

const walk = "chase walk row 760 dwell 48 ms tolerance 2 ms laps 3"

// Each case is a chase wanted, a program that runs lamps along row 000760, and what must be said of it.
func TestSighting(t *testing.T) {
	const (
		store   = "the program asks for it and the store shows something else: "
		lamps   = "the store shows it right and the lamps do not: "
		program = "the program asks for just that"
	)
	tests := []struct {
		name    string
		chase   string
		run     func(*show)
		verdict Verdict
		text    string
		cause   string
		look    []string
	}{
		{"as wanted", walk, func(s *show) { s.walk(48*ms, laps(4, false)...) }, Good,
			"row 00760, one lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"as wanted, within tolerance", walk, func(s *show) {
			for i, p := range laps(4, false) {
				s.walk(48*ms+cpu.Time(i%3-1)*2*ms, p)
			}
		}, Good, "row 00760, one lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"as wanted, all a little slow", walk, func(s *show) { s.walk(49*ms, laps(6, false)...) }, Good,
			"row 00760, one lamp moving left, 16 places, 49 ms each, 5 full laps", "", nil},
		{"through dark and double lamps for a moment", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.put(1<<p, 46*ms)
				s.put(0, ms)
				s.put(3<<p, ms)
			}
		}, Good, "row 00760, one lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"begun again", walk, func(s *show) {
			s.walk(48*ms, laps(2, false)...)
			s.put(0, 500*ms)
			s.walk(48*ms, laps(4, false)[5:]...)
		}, Good, "row 00760, one lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"another chase before", walk, func(s *show) {
			s.walk(10*ms, laps(5, true)...)
			s.walk(48*ms, laps(4, false)...)
		}, Good, "row 00760, one lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"not yet", walk, func(s *show) { s.walk(48*ms, laps(2, false)...) }, Undecided,
			"moves as it should, 1 of 3 full laps so far", "", nil},
		{"never moved, all dark", walk, func(s *show) { s.put(0, 3*cpu.Second) }, Trouble,
			"never moved: no place lit throughout", program, nil},
		{"never moved, one lit", walk, func(s *show) { s.put(8, 3*cpu.Second) }, Trouble,
			"never moved: place 3 lit throughout", program, nil},
		{"never moved, but it is early", walk, func(s *show) { s.put(8, cpu.Second) }, Undecided,
			"never moved: place 3 lit throughout", program, nil},
		{"a dark lamp", walk, func(s *show) {
			s.toLamps = clear(6)
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but place 6 never lights", lamps + "place 6 dark since 288 ms", []string{"LD1 bit 6 (lamp row 00760)"}},
		{"two dark lamps side by side", walk, func(s *show) {
			s.toLamps = func(w memory.Word) memory.Word { return w &^ 0o140 }
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but places 5, 6 never light", lamps + "places 5, 6 dark since 240 ms",
			[]string{"LD1 bit 5 (lamp row 00760)", "LD1 bit 6 (lamp row 00760)"}},
		{"the lamp at the end dark", walk, func(s *show) {
			s.toLamps = clear(15)
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but place 15 never lights", lamps + "place 15 dark since 720 ms", []string{"LD1 bit 15 (lamp row 00760)"}},
		{"as wanted, lit by zeros", walk, func(s *show) {
			s.row.Inverted = true
			for _, p := range laps(4, false) {
				s.put(0o777777^1<<p, 48*ms)
			}
		}, Good, "row 00760, one lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"a dark lamp of those lit by zeros", walk, func(s *show) {
			s.row.Inverted, s.toLamps = true, clear(6)
			for _, p := range laps(4, false) {
				s.put(0o777777^1<<p, 48*ms)
			}
		}, Trouble, "moves, but place 6 never lights", lamps + "place 6 dark since 288 ms", []string{"LD1 bit 6 (lamp row 00760)"}},
		{"a lamp dark now and then", walk, func(s *show) {
			n := 0
			s.toLamps = func(w memory.Word) memory.Word {
				if w == 1<<6 {
					if n++; n%2 == 0 {
						return 0
					}
				}
				return w
			}
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but place 6 does not always light: missed 1 turn of late", lamps + "place 6 dark since 1.056 s",
			[]string{"LD1 bit 6 (lamp row 00760)"}},
		{"a store bit at 0", walk, func(s *show) {
			s.toStore = clear(6)
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but place 6 never lights", store + "place 6 dark since 288 ms", []string{"store 00760 bit 6 (ST0 U07)"}},
		{"the program leaves a place dark", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.put(clear(6)(1<<p), 48*ms)
			}
		}, Trouble, "moves, but place 6 never lights", program, nil},
		{"a lamp lit", walk, func(s *show) {
			s.toLamps = set1(3)
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but place 3 stays lit", lamps + "place 3 lit since 0 s", []string{"LD1 bit 3 (lamp row 00760)"}},
		{"a store bit at 1", walk, func(s *show) {
			s.toStore = set1(3)
			s.walk(48*ms, laps(4, false)...)
		}, Trouble, "moves, but place 3 stays lit", store + "place 3 lit since 0 s", []string{"store 00760 bit 3 (ST0 U04)"}},
		{"slow", walk, func(s *show) { s.walk(96*ms, laps(4, false)...) }, Trouble,
			"moves, but each place holds 96 ms where 48 ms are wanted", program, nil},
		{"fast", walk, func(s *show) { s.walk(1500*cpu.Microsecond, laps(4, false)...) }, Trouble,
			"moves, but each place holds 1.5 ms where 48 ms are wanted", program, nil},
		{"one place slow", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.walk(48*ms+cpu.Time(p/15)*12*ms, p)
			}
		}, Trouble, "moves, but place 15 holds 60 ms where 48 ms are wanted", program, nil},
		{"slow in the program, and a lamp dark where none moves", walk + " places 0-7", func(s *show) {
			s.toLamps = clear(6)
			s.walk(48*ms, 0, 1, 2, 3, 4, 5, 6, 7, 0, 1, 2, 3)
			s.walk(96*ms, without(laps(7, false), 6, 8, 9, 10, 11, 12, 13, 14, 15)...)
		}, Trouble, "moves, but skips place 6, going from place 5 to place 7 (4 times of late)",
			program + "; besides, the lamps differ from the store: place 6 dark since 288 ms", []string{"LD1 bit 6 (lamp row 00760)"}},
		{"slower and slower", walk, func(s *show) {
			for i, p := range laps(2, false) {
				s.walk(cpu.Time(50+i)*ms, p)
			}
		}, Trouble, "moves, but places hold 51 ms to 80 ms where 48 ms are wanted", program, nil},
		{"now and then slow", walk, func(s *show) {
			for i, p := range laps(3, false) {
				hold := 48 * ms
				if i%7 == 6 {
					hold += cpu.Time(10+i) * ms
				}
				s.walk(hold, p)
			}
		}, Trouble, "moves, but 5 of the last 38 places held between 71 ms and 99 ms where 48 ms are wanted", program, nil},
		{"slow, and a lamp dark", walk, func(s *show) {
			s.toLamps = clear(6)
			s.walk(96*ms, laps(4, false)...)
		}, Trouble, "moves, but place 6 never lights", lamps + "place 6 dark since 576 ms" +
			"; besides, in the store the chase moves, but each place holds 96 ms where 48 ms are wanted", []string{"LD1 bit 6 (lamp row 00760)"}},
		{"two lamps far apart", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.put(1<<p|1<<((p+5)%16), 48*ms)
			}
		}, Trouble, "moves, but two lamps far apart are lit: 5 places from one to the other, 1 wanted", program, nil},
		{"three side by side", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.put(7<<(p%14), 48*ms)
			}
		}, Trouble, "moves, but 3 lamps are lit side by side, 1 wanted", program, nil},
		{"three apart", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.put(0o43<<(p%11), 48*ms)
			}
		}, Trouble, "moves, but 3 lamps are lit, spread over 6 places, 1 wanted", program, nil},
		{"the other way", walk, func(s *show) { s.walk(48*ms, laps(4, true)...) }, Trouble,
			"moves, but the other way: right where left is wanted", program, nil},
		{"there and back", walk, func(s *show) {
			for range 3 {
				s.walk(48*ms, append(laps(1, false), laps(1, true)[1:15]...)...)
			}
		}, Trouble, "moves, but there and back where left only is wanted", program, nil},
		{"a step back now and then", walk, func(s *show) {
			s.walk(48*ms, append(laps(2, false)[:20], laps(2, false)[2:20]...)...)
		}, Trouble, "moves, but steps back once among 34 steps", program, nil},
		{"skips a place", walk, func(s *show) { s.walk(48*ms, without(laps(4, false), 6)...) }, Trouble,
			"moves, but skips place 6, going from place 5 to place 7 (3 times of late)", program, nil},
		{"skips two places", walk, func(s *show) { s.walk(48*ms, without(laps(4, false), 6, 11)...) }, Trouble,
			"moves, but skips place 6, going from place 5 to place 7, and in 1 place elsewhere (6 times of late)", program, nil},
		{"every other place", walk, func(s *show) { s.walk(48*ms, without(laps(6, false), 1, 3, 5, 7, 9, 11, 13, 15)...) }, Trouble,
			"moves, but 2 places at a time where 1 is wanted", program, nil},
		{"dark between places", walk, func(s *show) {
			for _, p := range laps(4, false) {
				s.put(1<<p, 40*ms)
				s.put(0, 8*ms)
			}
		}, Trouble, "moves, but between places something else shows for as long as 8 ms, where 2 ms is let pass", program, nil},
		{"stopped after lap 2", walk, func(s *show) {
			s.walk(48*ms, laps(3, false)[:40]...)
			s.now += cpu.Second
		}, Trouble, "stopped after lap 2 at 1.872 s: place 7 lit", program, nil},
		{"stopped in its first lap, dark", walk, func(s *show) {
			s.walk(48*ms, laps(1, false)[:6]...)
			s.put(0, cpu.Second)
		}, Trouble, "stopped in its first lap at 288 ms: no place lit", program, nil},
		{"lost in the store, and gone", walk, func(s *show) {
			s.toStore = clear(6)
			s.walk(48*ms, laps(1, false)[:7]...)
			s.put(0, cpu.Second)
		}, Trouble, "stopped in its first lap at 288 ms: no place lit", store + "place 6 dark since 288 ms", []string{"store 00760 bit 6 (ST0 U07)"}},
		{"slow, then stopped", walk, func(s *show) {
			s.walk(96*ms, laps(1, false)...)
			s.now += cpu.Second
		}, Trouble, "moves, but each place holds 96 ms where 48 ms are wanted; stopped in its first lap at 1.44 s: place 15 lit", program, nil},

		{"right as wanted", walk + " way right", func(s *show) { s.walk(48*ms, laps(4, true)...) }, Good,
			"row 00760, one lamp moving right, 16 places, 48 ms each, 3 full laps", "", nil},
		{"left where right is wanted", walk + " way right", func(s *show) { s.walk(48*ms, laps(4, false)...) }, Trouble,
			"moves, but the other way: left where right is wanted", program, nil},

		{"there and back as wanted", walk + " way there-and-back places 3-0", func(s *show) {
			for range 4 {
				s.walk(48*ms, 0, 1, 2, 3, 2, 1)
			}
		}, Good, "row 00760, one lamp moving there and back, 4 places, 48 ms each, 3 full laps", "", nil},
		{"there only", walk + " way there-and-back", func(s *show) { s.walk(48*ms, laps(6, false)...) }, Trouble,
			"moves, but left only, where there and back is wanted", program, nil},
		{"back only", walk + " way there-and-back", func(s *show) { s.walk(48*ms, laps(6, true)...) }, Trouble,
			"moves, but right only, where there and back is wanted", program, nil},
		{"turns early", walk + " way there-and-back places 0-5", func(s *show) {
			for range 4 {
				s.walk(48*ms, 0, 1, 2, 3, 4, 3, 2, 1)
			}
		}, Trouble, "moves, but turns back at place 4, where only the ends turn", program, nil},
		{"there and back with the end lamp dark", walk + " way there-and-back places 0-5", func(s *show) {
			s.toLamps = clear(5)
			for range 4 {
				s.walk(48*ms, 0, 1, 2, 3, 4, 5, 4, 3, 2, 1)
			}
		}, Trouble, "moves, but place 5 never lights", lamps + "place 5 dark since 240 ms", []string{"LD1 bit 5 (lamp row 00760)"}},

		{"two lamps as wanted", walk + " width 2", func(s *show) {
			for range 4 {
				for p := range 15 {
					s.put(3<<p, 48*ms)
				}
			}
		}, Good, "row 00760, 2 lamps moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"two lamps, one place dark", walk + " width 2", func(s *show) {
			s.toLamps = clear(6)
			for range 4 {
				for p := range 15 {
					s.put(3<<p, 48*ms)
				}
			}
		}, Trouble, "moves, but place 6 never lights", lamps + "place 6 dark since 240 ms", []string{"LD1 bit 6 (lamp row 00760)"}},
		{"two lamps in a ring", walk + " width 2 ring", func(s *show) {
			for _, p := range laps(4, false) {
				s.put((3<<p|3<<p>>16)&0o177777, 48*ms)
			}
		}, Good, "row 00760, 2 lamps moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"two lamps apart where two are wanted", walk + " width 2", func(s *show) {
			for _, p := range laps(4, false) {
				s.put(0o41<<(p%11), 48*ms)
			}
		}, Trouble, "moves, but two lamps far apart are lit: 5 places from one to the other, 2 wanted side by side", program, nil},
		{"skips a step of two lamps", walk + " width 2", func(s *show) {
			for range 4 {
				for _, p := range without(laps(1, false)[:15], 6) {
					s.put(3<<p, 48*ms)
				}
			}
		}, Trouble, "moves, but skips from places 5, 6 to places 7, 8 (3 times of late)", program, nil},

		{"a dark lamp moving, as wanted", walk + " dark", func(s *show) {
			for _, p := range laps(4, false) {
				s.put(0o177777&^(1<<p), 48*ms)
			}
		}, Good, "row 00760, one dark lamp moving left, 16 places, 48 ms each, 3 full laps", "", nil},
		{"a dark lamp moving, one lamp lit", walk + " dark", func(s *show) {
			s.toLamps = set1(6)
			for _, p := range laps(4, false) {
				s.put(0o177777&^(1<<p), 48*ms)
			}
		}, Trouble, "moves, but place 6 never goes dark", lamps + "place 6 lit since 288 ms", []string{"LD1 bit 6 (lamp row 00760)"}},
		{"a dark lamp moving, one lamp dark", walk + " dark", func(s *show) {
			s.toLamps = clear(6)
			for _, p := range laps(4, false) {
				s.put(0o177777&^(1<<p), 48*ms)
			}
		}, Trouble, "moves, but place 6 stays dark", lamps + "place 6 dark since 0 s", []string{"LD1 bit 6 (lamp row 00760)"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			spot := newSpotter(read(t, test.chase).Chases[0])
			s := newShow(func(at cpu.Time, l line) { spot.line(at, l) })
			test.run(s)
			got := spot.sighting(s.now)
			if got.Verdict != test.verdict || got.Text != test.text {
				t.Errorf("%s\ngot  %v: %s\nwant %v: %s", test.chase, got.Verdict, got.Text, test.verdict, test.text)
			}
			if got.Cause != test.cause || len(got.Look) != len(test.look) {
				t.Errorf("cause\ngot  %s %q\nwant %s %q", got.Cause, got.Look, test.cause, test.look)
			}
			for i := range min(len(got.Look), len(test.look)) {
				if got.Look[i] != test.look[i] {
					t.Errorf("look at\ngot  %s\nwant %s", got.Look[i], test.look[i])
				}
			}
		})
	}
}

// Measured by hand: the chase begins when place 5 is lit, at 2.036 s, and its third lap is full 48 steps of 48 ms later.
func TestSightingTimes(t *testing.T) {
	spot := newSpotter(read(t, walk).Chases[0])
	s := newShow(func(at cpu.Time, l line) { spot.line(at, l) })
	s.walk(48*ms, laps(2, false)...)
	s.put(0, 500*ms)
	s.walk(48*ms, laps(5, false)[5:]...)
	g := spot.sighting(s.now)
	if g.Began != 2036*ms || g.Seen != 2036*ms+48*48*ms || g.Dwell != 48*ms || g.Laps != 4 {
		t.Errorf("began %v, seen %v, dwell %v, laps %d; want 2.036 s, 4.34 s, 48 ms, 4", g.Began, g.Seen, g.Dwell, g.Laps)
	}
}

// Whichever lamp, store bit or turn is missing, however many lamps move which way: it is named, and so is who is to blame.
func TestSightingEveryPlace(t *testing.T) {
	for _, way := range []Way{Left, Right, ThereAndBack} {
		for width := 1; width <= 3; width++ {
			c := read(t, fmt.Sprintf("chase a row 760 dwell 10 ms way %v width %d", way, width)).Chases[0]
			for bit := range 16 {
				for _, who := range []string{"LD1 bit", "store 00760 bit", ""} {
					spot := newSpotter(c)
					s := newShow(func(at cpu.Time, l line) { spot.line(at, l) })
					program := func(w memory.Word) memory.Word { return w }
					switch who {
					case "LD1 bit":
						s.toLamps = clear(bit)
					case "":
						program = clear(bit)
					default:
						s.toStore = clear(bit)
					}
					for range 4 {
						for _, w := range c.path {
							s.put(program(memory.Word(c.windows[w])), 10*ms)
						}
					}
					g := spot.sighting(s.now)
					look := strings.Join(g.Look, ", ")
					if want := fmt.Sprintf("moves, but place %d never lights", bit); g.Text != want ||
						who == "" && look != "" || who != "" && !strings.HasPrefix(look, fmt.Sprintf("%s %d (", who, bit)) {
						t.Errorf("%v, bit %d dark by %q: %s; look at %s; want %s", c, bit, who, g.Text, look, want)
					}
				}
			}
		}
	}
}

// However long a run goes on, a track keeps no more beats than it judges.
func TestTrackBounded(t *testing.T) {
	spot := newSpotter(read(t, walk).Chases[0])
	s := newShow(func(at cpu.Time, l line) { spot.line(at, l) })
	s.walk(3*ms, laps(200, true)...)
	if n, most := cap(spot.lamps.beats), 4*spot.lamps.keep(); n > most {
		t.Errorf("room for %d beats after 3,200, want at most %d", n, most)
	}
	if got := spot.sighting(s.now).Text; got != "moves, but the other way: right where left is wanted" {
		t.Errorf("text = %q", got)
	}
}

func TestChaseOverRows(t *testing.T) {
	c := read(t, "chase x lamps 760.14 760.15 761.0 761.1 dwell 48 ms laps 1").Chases[0]
	spot := newSpotter(c)
	rows := [2]*show{}
	for i := range rows {
		rows[i] = newShow(func(at cpu.Time, l line) { spot.line(at, l) })
		rows[i].row.Addr += memory.Addr(i)
	}
	now := cpu.Time(0)
	for range 3 {
		for p := range 4 {
			for i, s := range rows {
				s.now = now
				w := memory.Word(1) << (14 + p)
				s.put(w>>(16*i)&0o177777, 0)
			}
			now += 48 * ms
		}
	}
	if g := spot.sighting(now); g.Verdict != Good || g.Text != "named lamps, one lamp moving left, 4 places, 48 ms each, 2 full laps" {
		t.Errorf("%v: %s", g.Verdict, g.Text)
	}
	if got := c.place(0b110); got != "places 00760.15, 00761.0" {
		t.Errorf("places = %s", got)
	}
}
