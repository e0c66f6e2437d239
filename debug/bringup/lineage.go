package bringup

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"coldstart/loader/list"
	"coldstart/loader/splice"
	"coldstart/memory"
)

// LineageSuffix is what the file beside a merged recording that says where its words came from has behind the same name.
const LineageSuffix = ".lineage"

// lineage reads the lineage beside a recording; nil where there is none. One of another recording would answer for words
// that it never saw, so it is refused.
func (s seating) lineage(r *reading, recording []byte) (*splice.Lineage, error) {
	name := s.File.Text + LineageSuffix
	src := []byte(nil)
	if s.given != nil {
		src = s.given.Lineage
	} else {
		var err error
		if src, err = r.open(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	if src == nil {
		return nil, nil
	}
	r.office.Files = append(r.office.Files, File{Part: "lineage of tape " + s.At.Text, Name: name, Given: s.given != nil})
	l, err := splice.ReadLineage(name, src)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(recording)
	if now := hex.EncodeToString(sum[:]); now != l.Head.Image.SHA256 {
		return nil, fmt.Errorf("%s: it is not about %s, whose SHA-256 begins %.8s, but about %s, which began %.8s; splice the passes again, or take the file away",
			list.Safe(name), list.Safe(s.File.Text), now, list.Safe(l.Head.Image.Path), list.Safe(l.Head.Image.SHA256))
	}
	return l, nil
}

// Witness says who speaks for a word of a merged recording: which pass it is of, by what rule, how many passes read it so,
// and of a doubtful one how else it was read. It is "" where no lineage tells.
func (o *Office) Witness(from memory.Origin) string {
	for _, t := range o.Tapes {
		bs := t.Recording.Blocks
		if from.Kind != memory.Tape || from.Word < 0 || t.Lineage == nil || len(bs) == 0 || bs[0].File != from.File {
			continue
		}
		if w, known := t.Lineage.Whence(from.Block, from.Word); known {
			said := list.Safe(w.String())
			if readings := o.Doubt(from); readings != "" {
				said += ": " + readings
			}
			return said
		}
	}
	return ""
}

// Doubt says how a word of a merged recording was read, where its lineage leaves it doubtful; "" where it does not.
func (o *Office) Doubt(from memory.Origin) string {
	for _, t := range o.Tapes {
		bs := t.Recording.Blocks
		if from.Kind != memory.Tape || t.Lineage == nil || len(bs) == 0 || bs[0].File != from.File {
			continue
		}
		for _, d := range t.Lineage.Doubtful() {
			if d.Number != from.Block || d.Word != from.Word {
				continue
			}
			var all []string
			for _, r := range d.Readings {
				said := t.Recording.Layout.WordName(r.Word) + " in " + strings.Join(r.Passes, ", ")
				if len(r.In) > 0 {
					said += " (" + strings.Join(r.In, ", ") + ")"
				}
				all = append(all, said)
			}
			return list.Safe(strings.Join(all, "; "))
		}
	}
	return ""
}
