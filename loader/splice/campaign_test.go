package splice

import (
	"flag"
	"fmt"
	"maps"
	"slices"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

var (
	sets = flag.Int("sets", 300, "damaged sets that the campaign goes through")
	from = flag.Int("from", 0, "seed of the first of them")
)

// A score counts words: mark, header and sum are words too.
type score struct{ right, wrong, doubtful, lost int }

func (s *score) add(o score) {
	s.right += o.right
	s.wrong += o.wrong
	s.doubtful += o.doubtful
	s.lost += o.lost
}

func (s score) String() string {
	return fmt.Sprintf("%9d %9d %9d %9d", s.right, s.wrong, s.doubtful, s.lost)
}

// TestCampaign merges sets of three damaged passes of a known truth, and holds the words said to be settled against it.
// Beside it stands per-word majority voting without alignment on the same copies of the same blocks.
func TestCampaign(t *testing.T) {
	if testing.Short() {
		*sets = min(*sets, 60)
	}
	m := newMaker(t)
	var ours, plain, oursSlip, plainSlip score
	why := map[string]int{}
	outside, alike := 0, 0
	for seed := *from; seed < *from+*sets; seed++ {
		s := m.make(uint64(seed))
		passes := s.read(t)
		if len(passes) < 2 {
			alike++ // two passes without any damage: nothing to splice
			continue
		}
		merged, err := Merge(s.layout, passes, nil, Bounds{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		o, v := judge(t, s, merged, seed, why, &outside), vote(s, passes)
		ours.add(o)
		plain.add(v)
		if s.slipped {
			oursSlip.add(o)
			plainSlip.add(v)
		}
	}
	t.Logf("%d sets, %d of them left out because two passes are alike; words:", *sets, alike)
	t.Logf("                      right     wrong  doubtful      lost")
	t.Logf("splice, all       %v", ours)
	t.Logf("majority, all     %v", plain)
	t.Logf("splice, slips     %v", oursSlip)
	t.Logf("majority, slips   %v", plainSlip)
	for _, k := range slices.Sorted(maps.Keys(why)) {
		t.Logf("settled and wrong: %s: %d words", k, why[k])
	}
	if outside > 0 {
		t.Errorf("%d words are settled and wrong though what is recorded speaks against them", outside)
	}
	if testing.Short() {
		return // chance decides between the two in so few sets
	}
	if ours.wrong >= plain.wrong {
		t.Errorf("splice has %d words wrong, and voting %d", ours.wrong, plain.wrong)
	}
	if oursSlip.right <= plainSlip.right {
		t.Errorf("on sets with slips splice has %d words right, and voting %d", oursSlip.right, plainSlip.right)
	}
}

// judge holds a merge against the truth.
func judge(t *testing.T, s *tapeSet, merged *Merged, seed int, why map[string]int, outside *int) (sc score) {
	for n, truth := range s.truth {
		at := slices.IndexFunc(merged.Blocks, func(b *Block) bool { return b.Number == n })
		if at < 0 || merged.Blocks[at].Raw == nil {
			sc.lost += len(truth)
			continue
		}
		b := merged.Blocks[at]
		wrong := 0
		for i := range max(len(truth), len(b.Raw)) {
			w, ok := merged.Whence(n, i-b.DataAt)
			switch {
			case !ok:
				sc.lost++
			case w.Doubtful:
				sc.doubtful++
			case i < len(truth) && b.Raw[i] == truth[i]:
				sc.right++
			default:
				sc.wrong++
				wrong++
			}
		}
		if wrong > 0 {
			why[s.because(b, outside, wrong)] += wrong
			t.Logf("seed %d: block %s: %d words settled and wrong", seed, b.Name, wrong)
		}
	}
	return sc
}

// because says what speaks for a block that is settled and wrong. Where what is recorded with it does not, it should not have
// been settled, and its wrong words are counted as outside of the rule.
func (s *tapeSet) because(b *Block, outside *int, wrong int) string {
	p := s.layout.Prove(b.Raw)
	firm := p.Check != tape.Wrong && p.Sum != tape.Wrong && len(p.Stray) == 0 && (p.Check == tape.Right || p.Sum == tape.Right)
	kind := fmt.Sprintf("a whole copy of %d passes", len(b.Passed))
	switch {
	case b.State == Doubtful:
		kind = "more than one mixture, all with it,"
	case b.Rule == "mixture":
		kind = "the only mixture that"
	}
	if !firm {
		*outside += wrong
		return fmt.Sprintf("layout %s, %s does NOT pass", s.layout.Name(), kind)
	}
	because := "errors make up for each other"
	if slices.Equal(b.Raw, s.older) {
		because = "it is the block before it was written anew"
	}
	return fmt.Sprintf("layout %s, %s passes all that is recorded: %s", s.layout.Name(), kind, because)
}

// vote takes each word as most passes have it, at its place in the block as the reader gives it, without any alignment: one
// that two passes or more have, and more than any other, is called right. Of several copies of a block on one pass it
// takes the one that the reader says stands.
func vote(s *tapeSet, passes []Pass) (sc score) {
	for n, truth := range s.truth {
		var copies [][]memory.Word
		for _, p := range passes {
			for _, b := range p.Decodes[0].Blocks {
				if b.Number == n && b.Superseded == nil && !b.FileMark && !b.Rubbish() {
					copies = append(copies, b.Raw)
				}
			}
		}
		for i := range truth {
			votes := map[memory.Word]int{}
			for _, raw := range copies {
				if i < len(raw) {
					votes[raw[i]]++
				}
			}
			best, most, tie := memory.Word(0), 0, false
			for w, v := range votes {
				switch {
				case v > most:
					best, most, tie = w, v, false
				case v == most:
					tie = true
				}
			}
			switch {
			case len(copies) == 0:
				sc.lost++
			case most < 2 || tie:
				sc.doubtful++
			case best == truth[i]:
				sc.right++
			default:
				sc.wrong++
			}
		}
	}
	return sc
}
