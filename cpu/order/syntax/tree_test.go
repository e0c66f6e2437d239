package syntax

import (
	"go/token"
	"reflect"
	"strings"
	"testing"
)

// Whatever the tree says about places is where the text stands.
func TestPlaces(t *testing.T) {
	src := read(t, office)
	lines := strings.Split(src, "\n")
	f, err := Parse("office", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	check := func(at token.Position, text string) {
		checked++
		if at.Line < 1 || at.Line > len(lines) || !strings.HasPrefix(src[at.Offset:], text) ||
			!strings.HasPrefix(lines[at.Line-1][at.Column-1:], text) {
			t.Errorf("%q is said to stand at %v, offset %d", text, at, at.Offset)
		}
	}
	word := func(at token.Position, text string) {
		if text != "" { // else none is typed there
			check(at, text)
		}
	}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer, reflect.Interface:
			if !v.IsNil() {
				walk(v.Elem())
			}
			return
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
			return
		case reflect.Struct:
		default:
			return
		}
		switch n := v.Addr().Interface().(type) {
		case *Name:
			word(n.At, n.Text)
		case *Number:
			word(n.At, n.Text)
		case *Binary:
			check(n.Where(), n.Op)
		case interface{ Where() token.Position }:
			check(n.Where(), "")
		case Statement:
			check(n.Start(), "")
		}
		for i := range v.NumField() {
			walk(v.Field(i))
		}
	}
	walk(reflect.ValueOf(f))
	if checked < 2000 {
		t.Errorf("checked only %d places", checked)
	}
}
