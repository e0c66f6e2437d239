package bringup_test

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	"coldstart/cpu/order"
	"coldstart/debug/bringup"
	"coldstart/loader/list"
)

// echo is a program that goes round all lines and sends back whatever was typed there.
const echo = "at 700\nround: test 5\njump-zero on\ntest 0\njump-zero on\nreceive\nsend\non: next\njump round\n"

// How the lines are set up: each like none beside it. The last one speaks a code that the office lists itself.
var lineKinds = []string{
	"baud 110 units 11 parity even", "baud 300 units 10 parity odd", "code ita2 baud 50", "code ita2-american baud 45.45 units 7.42",
	"baud 1200 units 10", "baud 9600 units 10", "code ita2 baud 75", "baud 2400 units 10 parity even",
}

// looms is an office of 24 serial lines, as many on a further controller as makes that, and an order in so many microseconds.
func looms(t *testing.T, clock string) (*bringup.Office, []string) {
	t.Helper()
	src := strings.Replace(string(file(t, "heddle.machine")), "clock     1 us", "clock     "+clock, 1)
	code, err := order.Read("heddle.machine", []byte(src))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	made, err := assemble.Assemble(code, assemble.Source{Name: "echo.order", Text: []byte(echo)})
	if err != nil {
		t.Fatal(list.Report(err))
	}
	image, err := made.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	words := ""
	for a, e := range image.All() {
		words += fmt.Sprintf("%03o: %04o\n", a, e.Word)
	}
	files := kiln{"heddle.machine": []byte(src), "p.words": []byte(words), "works.codes": file(t, "works.codes")}
	office, names := "office Heddle\nmachine heddle.machine\nwired W0 p.words\ncodes works.codes\n", []string(nil)
	for i, ch := range code.Channels {
		kind := lineKinds[i%len(lineKinds)]
		if i == len(code.Channels)-1 {
			kind = "code works-five baud 50"
		}
		office += fmt.Sprintf("device %s teletypewriter %s\n", ch.Name, kind)
		names = append(names, ch.Name)
	}
	files["office.list"] = []byte(office)
	return files.open(t), names
}

// typedEverywhere types a line at each of them, at times of its own, and gives what each printed and how many characters were lost.
func typedEverywhere(t *testing.T, o *bringup.Office, names []string) (printed []string, lost int) {
	t.Helper()
	half, err := o.Half("A", 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range names {
		tty := half.Rack.Device(o.Code.Channel(name).Code).(*channel.Teletypewriter)
		if err := tty.Type(fmt.Sprintf("LINE %s %d SAYS SO", name, i*37), cpu.Time(i)*7*cpu.Millisecond); err != nil {
			t.Fatal(err)
		}
	}
	half.Machine.Boot()
	half.Machine.Run(cpu.Forever, 8*cpu.Second)
	for _, name := range names {
		tty := half.Rack.Device(o.Code.Channel(name).Code).(*channel.Teletypewriter)
		text := ""
		for n := range tty.Len() {
			text += tty.Line(n).Text()
		}
		printed = append(printed, text)
		lost += tty.Overrun(half.Machine.Now())
	}
	return printed, lost
}

// Sixteen lines and eight more on a further controller, of several speeds and codes, are all served at once; a program that
// goes round too slowly loses most of what fast ones were typed, and of slow ones next to nothing. That machines had so many lines is common
// practice, no source.
func TestManySerialLines(t *testing.T) {
	o, names := looms(t, "1 us")
	if len(names) != 24 || o.Code.Channels[15].PlugIn == o.Code.Channels[16].PlugIn {
		t.Fatalf("%d lines, plug-ins %s and %s", len(names), o.Code.Channels[15].PlugIn, o.Code.Channels[16].PlugIn)
	}
	printed, lost := typedEverywhere(t, o, names)
	for i, name := range names {
		if want := fmt.Sprintf("LINE %s %d SAYS SO", name, i*37); printed[i] != want {
			t.Errorf("%s printed %q, want %q", name, printed[i], want)
		}
	}
	if lost != 0 {
		t.Errorf("%d characters were lost", lost)
	}

	o, names = looms(t, "100 us") // 12 ms a round and more, and a character of 9600 baud takes 1 ms
	printed, lost = typedEverywhere(t, o, names)
	slow, fast := len("LINE L00 0 SAYS SO")-len(printed[0]), len("LINE L05 185 SAYS SO")-len(printed[5])
	if slow > 2 || fast < 10 || lost < slow+fast {
		t.Errorf("%d characters were lost, of a slow line %d, %q, of a fast one %d, %q", lost, slow, printed[0], fast, printed[5])
	}
}
