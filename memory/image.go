package memory

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"iter"
)

// An Image is what was recovered: words, and the Origin of each. Once it is no longer added to it may be shared freely.
type Image struct {
	layout *layout
	pages  []*imagePage
	length int
}

// An Entry is one word of an Image and where it came from.
type Entry struct {
	Word   Word
	Origin Origin
}

// An imagePage holds the entries of one page; set tells a recovered zero from nothing.
type imagePage struct {
	entries [pageWords]Entry
	set     [pageWords]bool
}

// NewImage makes an empty image for a store of geometry g, which should be one that Check accepts: an area it refuses
// takes no words.
func NewImage(g Geometry) *Image {
	l := newLayout(g)
	return &Image{layout: l, pages: make([]*imagePage, l.pages())}
}

// Set puts w at a, in place of what was there. The error, one sentence, says that nothing answers at a, that a is inside a
// word, or that w is wider than the words there.
func (im *Image) Set(a Addr, w Word, from Origin) error {
	p, err := im.layout.word(a)
	if err != nil {
		return err
	}
	if w&^p.mask != 0 {
		return im.layout.tooWide(p, a, w)
	}
	slot := p.slot(a)
	page := im.pages[slot>>pageShift]
	if page == nil {
		page = new(imagePage)
		im.pages[slot>>pageShift] = page
	}
	if i := slot % pageWords; !page.set[i] {
		page.set[i] = true
		im.length++
	}
	page.entries[slot%pageWords] = Entry{w, from}
	return nil
}

// At is the word at a, its origin, and whether the image has one there.
func (im *Image) At(a Addr) (Word, Origin, bool) {
	p := im.layout.find(a)
	if p == nil {
		return 0, Origin{}, false
	}
	slot := p.slot(a)
	page := im.pages[slot>>pageShift]
	if page == nil || !page.set[slot%pageWords] {
		return 0, Origin{}, false
	}
	e := page.entries[slot%pageWords]
	return e.Word, e.Origin, true
}

// All goes through the words in the order of their addresses.
func (im *Image) All() iter.Seq2[Addr, Entry] {
	return func(yield func(Addr, Entry) bool) {
		for n, page := range im.pages {
			if page == nil {
				continue
			}
			for i, set := range page.set {
				if !set {
					continue
				}
				if _, a := im.layout.at(n<<pageShift + i); !yield(a, page.entries[i]) {
					return
				}
			}
		}
	}
}

// Len is how many words the image has.
func (im *Image) Len() int { return im.length }

// Digest is the SHA-256 of the words in the order of their addresses: for each its address and then the word, as eight
// bytes each, highest byte first. Origins do not count: two readings that recovered the same words are alike.
func (im *Image) Digest() [sha256.Size]byte {
	sum := sha256.New()
	var record [16]byte
	for a, e := range im.All() {
		binary.BigEndian.PutUint64(record[:8], uint64(a))
		binary.BigEndian.PutUint64(record[8:], uint64(e.Word))
		sum.Write(record[:])
	}
	return [sha256.Size]byte(sum.Sum(nil))
}

// noReply says that nothing answers at a, and what the nearest area below or above is.
func (l *layout) noReply(a Addr) error {
	g := &l.geometry
	for i := range l.placed {
		if p := &l.placed[i]; a < p.First {
			return fmt.Errorf("nothing answers at %s: the next store, %s, begins at %s", g.addr(a), p.Name, g.addr(p.First))
		}
	}
	if n := len(l.placed); n > 0 {
		return fmt.Errorf("nothing answers at %s: the last store, %s, ends at %s",
			g.addr(a), l.placed[n-1].Name, g.addr(l.placed[n-1].Last))
	}
	return fmt.Errorf("nothing answers at %s: no store is fitted", g.addr(a))
}

// tooWide says that w does not fit the words of p.
func (l *layout) tooWide(p *placed, a Addr, w Word) error {
	g := &l.geometry
	return fmt.Errorf("%s at %s is too wide: words of %s have %d bits, at most %s",
		g.Style.Number(uint64(w)), g.addr(a), p.Name, p.Width, g.Style.Word(p.mask, p.Width))
}
