package cpu_test

import (
	"os"
	"testing"

	"coldstart/cpu/order"
)

// brindlecote reads the machine file of the training office.
func brindlecote(t testing.TB) *order.Code {
	t.Helper()
	const path = "../cmd/coldstart/internal/school/office/brindlecote.machine"
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := order.Read(path, src)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
func TestX(t *testing.T) { c := brindlecote(t); t.Log(len(c.Orders)) }
