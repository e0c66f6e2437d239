package bringup_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/debug/bringup"
	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// loading is a wired program that reads two blocks of the tape into 010-017, looks at no sum, and goes on at done.
func loading() string {
	var p strings.Builder
	p.WriteString("load one\ncommand TC1\n")
	for n := range 16 { // mark, number, address, four words, sum
		fmt.Fprintf(&p, "w%d: test TC1, ready\njump-zero w%d\nreceive TC1\n", n, n)
		if w := n % 8; 3 <= w && w <= 6 {
			fmt.Fprintf(&p, "store %o\n", 0o10+4*(n/8)+w-3)
		}
	}
	return p.String() + "jump done\none: words 1\n"
}

// A kiln is the files of a small office.
type kiln map[string][]byte

// newKiln makes an office of a wired program, which begins at 700, and a chase list.
func newKiln(t testing.TB, program, chase string) kiln {
	t.Helper()
	k := kiln{"kiln.machine": file(t, "kiln.machine"), "kiln.layout": file(t, "kiln.layout")}
	code, err := order.Read("kiln.machine", k["kiln.machine"])
	if err != nil {
		t.Fatal(list.Report(err))
	}
	made, err := assemble.Assemble(code, assemble.Source{Name: "p.order", Text: []byte("at 700\n" + program + "\n")})
	if err != nil {
		t.Fatal(list.Report(err))
	}
	image, err := made.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	var words strings.Builder
	for a, e := range image.All() {
		fmt.Fprintf(&words, "%03o: %04o\n", a, e.Word)
	}
	office := "office Kiln\nmachine kiln.machine\nlayout kiln.layout\nwired W0 p.words\n" +
		"device TC1 tape word 125 us gap 15375 us start 5 ms stop 3 ms back 60 ms rewind 10 ms\n" +
		"device TT1 teletypewriter baud 110 units 11\n"
	if chase != "" {
		office += "chase kiln.chase\n"
		k["kiln.chase"] = []byte(chase)
	}
	k["p.words"], k["office.list"] = []byte(words.String()), []byte(office)
	return k
}

// seat records blocks of four words on a tape and seats it.
func (k kiln) seat(t testing.TB, blocks ...[]memory.Word) []byte {
	t.Helper()
	layout, err := tape.ReadLayout("kiln.layout", k["kiln.layout"])
	if err != nil {
		t.Fatal(list.Report(err))
	}
	var raw []byte
	for i, words := range blocks {
		if raw, err = layout.Append(raw, i, memory.Addr(0o10+4*i), words); err != nil {
			t.Fatal(err)
		}
	}
	k["t.tape"] = raw
	k["office.list"] = append(k["office.list"], "tape TC1 t.tape\n"...)
	return raw
}

// open opens the office.
func (k kiln) open(t testing.TB) *bringup.Office {
	t.Helper()
	o, err := bringup.Open(k.file, "office.list")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	return o
}

// file is the opener of the office.
func (k kiln) file(name string) ([]byte, error) {
	if src, ok := k[name]; ok {
		return src, nil
	}
	return nil, fmt.Errorf("%s: %w", name, os.ErrNotExist)
}

// file reads a file of testdata.
func file(t testing.TB, name string) []byte {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// run runs an office that must start.
func run(t testing.TB, o *bringup.Office, s bringup.Start) *bringup.Report {
	t.Helper()
	r, err := o.Run(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// until is a condition that must be right.
func until(t testing.TB, o *bringup.Office, text string) *watch.Condition {
	t.Helper()
	c, err := watch.ParseCondition(o.Code, text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// training is the training office.
func training(t testing.TB) *bringup.Office {
	t.Helper()
	o, err := bringup.Open(func(name string) ([]byte, error) {
		return os.ReadFile("../../cmd/coldstart/internal/school/office/" + name)
	}, "office.list")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	return o
}
