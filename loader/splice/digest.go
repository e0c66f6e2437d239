package splice

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"regexp"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// Names such as 031.b go by witnesses, and witnesses change with the set of passes: 031.b of three passes may be 031.a of
// four. What a person decides is about words, so a decision carries a digest of them.

// The digits of a digest: as many as are shown where they tell the readings of a block apart, and as many as there are.
const (
	leastDigits = 4
	mostDigits  = 16
)

// digits is the form of a digest in a decision.
var digits = regexp.MustCompile(fmt.Sprintf("^[0-9a-f]{%d,%d}$", leastDigits, mostDigits))

// digestOf gives the digest of words: of the SHA-256 of each as eight bytes, highest first, in hexadecimal.
func digestOf(raw []memory.Word) string {
	var src []byte
	for _, w := range raw {
		src = binary.BigEndian.AppendUint64(src, uint64(w))
	}
	sum := sha256.Sum256(src)
	return hex.EncodeToString(sum[:mostDigits/2])
}

// digests gives each mixture its digest, in as few digits as tell it from the others.
func (b *Block) digests() {
	n := leastDigits
	for i := range b.Mixtures {
		b.Mixtures[i].full = digestOf(b.Mixtures[i].raw)
	}
	for ; n < mostDigits && b.alikeIn(n); n++ {
	}
	for i := range b.Mixtures {
		b.Mixtures[i].Digest = b.Mixtures[i].full[:n]
	}
}

// alikeIn says whether two mixtures have the same first n digits.
func (b *Block) alikeIn(n int) bool {
	seen := map[string]bool{}
	for _, x := range b.Mixtures {
		if seen[x.full[:n]] {
			return true
		}
		seen[x.full[:n]] = true
	}
	return false
}

// meant finds the mixture that a decision means. Where its name and its digest disagree the digest decides, and that is
// said. A try goes by the name alone: who asks for it sees at once what came of it.
func (b *Block) meant(d *Decision) (*Mixture, error) {
	var named *Mixture
	var found []*Mixture
	var names []string
	for i := range b.Mixtures {
		x := &b.Mixtures[i]
		names = append(names, x.Name)
		if x.Name == d.Mixture {
			named = x
		}
		if d.Digest != "" && strings.HasPrefix(x.full, d.Digest) {
			found = append(found, x)
		}
	}
	switch {
	case len(found) == 1:
		if found[0].Name != d.Mixture {
			b.Remarks = append(b.Remarks, fmt.Sprintf("the reading %s, decided for as %s, is %s here", d.Digest, d.Mixture, found[0].Name))
		}
		return found[0], nil
	case len(found) > 1:
		return nil, fmt.Errorf("%d readings of block %s begin with %s; write more digits of the one that is meant", len(found), b.Name, d.Digest)
	case named == nil:
		return nil, fmt.Errorf("%s", list.Unknown("mixture of block "+b.Name, d.Mixture, names))
	case d.Digest != "":
		return nil, fmt.Errorf("no reading of block %s is %s: the passes are others than when that was decided; %s is now %s", b.Name, d.Digest, d.Mixture, named.Digest)
	case d.By != "":
		return nil, fmt.Errorf("%s may be another reading once a pass is added; write it with its digest: take %s %s", d.Mixture, d.Mixture, named.Digest)
	}
	return named, nil
}
