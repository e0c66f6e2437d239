package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
)

// stream lets use read what is in the file, opened for reading only, and notes it as an input: by this, a file may be larger
// than what is kept of it. The path "-" is standard input. Only plain files are read: a pipe may never end, and opening a
// tape drive moves the tape.
func (e *env) stream(path string, use func(io.Reader) error) error {
	if path == "-" {
		return e.take(path, e.in, nil, use)
	}
	info, err := os.Stat(path)
	if err != nil {
		return unreadable(path, err)
	}
	if !info.Mode().IsRegular() {
		return &unusable{where: path, what: "this is " + kind(info.Mode()) + ", not a file", next: "name a file, or copy what is wanted into one"}
	}
	if info.Size() > e.limit {
		return e.tooLarge(path)
	}
	f, err := os.Open(path)
	if err != nil {
		return unreadable(path, err)
	}
	defer f.Close()
	return e.take(path, f, info, use)
}

// take lets use read to the end or the limit, and notes the input. What use leaves is read for the digest; where it fails,
// nothing is noted.
func (e *env) take(path string, r io.Reader, info fs.FileInfo, use func(io.Reader) error) error {
	m := &metered{r: r, left: e.limit, sum: sha256.New()}
	err := use(m)
	if err == nil {
		io.Copy(io.Discard, m) // what fails is kept in m
	}
	switch {
	case m.err != nil:
		return unreadable(path, m.err)
	case m.left < 0:
		return e.tooLarge(path)
	case err != nil && m.left < e.limit:
		return err
	case info != nil && info.Size() > 0 && info.Size() != e.limit-m.left:
		return &unusable{where: path, what: fmt.Sprintf("it had %d bytes when it was opened, and %d were read: something is writing it", info.Size(), e.limit-m.left),
			next: "wait until it is whole, or copy it first"}
	case m.left == e.limit:
		return &unusable{where: path, what: "there is nothing in it", next: "look whether it was copied whole"}
	}
	e.inputs = append(e.inputs, input{Path: path, SHA256: hex.EncodeToString(m.sum.Sum(nil)), file: info})
	return nil
}

// A metered reader makes the digest of what is read through it, and ends one byte behind a limit.
type metered struct {
	r    io.Reader
	left int64 // bytes that may still come; -1 when more than that came
	sum  hash.Hash
	err  error // of the source
}

func (m *metered) Read(p []byte) (int, error) {
	if m.left < 0 || m.err != nil {
		return 0, io.EOF
	}
	n, err := m.r.Read(p[:min(int64(len(p)), m.left+1)])
	m.left -= int64(n)
	m.sum.Write(p[:n])
	if err != nil && err != io.EOF {
		m.err = err
	}
	return n, err
}
