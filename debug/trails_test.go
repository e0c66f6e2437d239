package debug

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// What the signals of a trail say at ten times is what its orders say: where the order counter stands when an order is done is
// where the next one is.
func TestSignalsAgreeWithOrders(t *testing.T) {
	files := map[string]string{}
	b := newBench(t, nil)
	b.save = func(name string, data []byte) error { files[name] = string(data); return nil }
	b.all(t, "roll within 400 orders\nkey 100 7\nroll within 200 orders")
	before := b.whole()
	b.all(t, "trail vcd a.vcd 300 P A 100\ntrail json a.json 300")
	if b.whole() != before {
		t.Error("writing a trail has altered the machine")
	}
	var orders []orderLine
	for line := range strings.Lines(files["a.json"]) {
		var o orderLine
		if err := json.Unmarshal([]byte(line), &o); err != nil {
			t.Fatal(err)
		}
		orders = append(orders, o)
	}
	if len(orders) != 300 {
		t.Fatalf("%d orders, want 300", len(orders))
	}
	unit := int64(0)
	for i, name := range []string{"ps", "ns", "us", "ms", "s"} {
		var n int64
		if _, after, ok := strings.Cut(files["a.vcd"], "$timescale "); ok {
			fmt.Sscanf(after, "%d", &n)
			if strings.HasPrefix(strings.TrimLeft(after, "0123456789 "), name+" ") {
				unit = n
				for range i {
					unit *= 1000
				}
			}
		}
	}
	if unit == 0 {
		t.Fatalf("no timescale in\n%s", files["a.vcd"])
	}
	for i := 0; i < 290; i += 29 {
		at := (orders[i].DonePS - orders[0].DonePS) / unit
		var counter uint64
		now := int64(0)
		for line := range strings.Lines(files["a.vcd"]) {
			if strings.HasPrefix(line, "#") {
				if fmt.Sscanf(line, "#%d", &now); now > at {
					break
				}
			}
			if strings.HasPrefix(line, "b") && strings.HasSuffix(line, " !\n") && !strings.Contains(line, "x") {
				fmt.Sscanf(line, "b%b", &counter)
			}
		}
		if got := fmt.Sprintf("%o", counter); got != orders[i+1].Place {
			t.Errorf("after order %d the signals have P at %s; the next order is at %s", orders[i].Order, got, orders[i+1].Place)
		}
	}
}
