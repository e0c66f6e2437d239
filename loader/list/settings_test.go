package list_test

import (
	"testing"

	"coldstart/loader/list"
)

// lamp reads a record `lamp NAME colour red|green count N`, its settings in any order.
func lamp(errs *list.Errors, line string) (colour, count int, ok bool) {
	records, err := list.Read("x.list", []byte(line))
	if err != nil {
		panic(err)
	}
	s := list.NewSettings(errs, records[0], 2)
	for s.More() {
		switch s.Name("colour", "count") {
		case 0:
			colour = s.Name("red", "green")
		case 1:
			count = s.Count("the count", 1, 16)
		}
	}
	return colour, count, s.OK()
}

func TestSettings(t *testing.T) {
	tests := []struct {
		line          string
		colour, count int
		want          string
	}{
		{"lamp a", 0, 0, ""},
		{"lamp a count 3 colour green", 1, 3, ""},
		{"lamp a colour", 0, 0, `x.list:1:8: the record ends after "colour"; one of red, green belongs there`},
		{"lamp a color red", 0, 0, `x.list:1:8: "color" is no setting here; the nearest is "colour"`},
		{"lamp a count", 0, 0, `x.list:1:8: the record ends after "count"; the count belongs there`},
		{"lamp a count 17 colour blue", 0, 0, `x.list:1:14: the count is 17; it must be from 1 to 16`},
	}
	for _, test := range tests {
		t.Run(test.line, func(t *testing.T) {
			var errs list.Errors
			colour, count, ok := lamp(&errs, test.line)
			if ok && (colour != test.colour || count != test.count) || ok != (test.want == "") {
				t.Errorf("colour %d, count %d, ok %v; want %d, %d", colour, count, ok, test.colour, test.count)
			}
			got := ""
			if err := errs.Err(); err != nil {
				got = err.Error()
			}
			if got != test.want {
				t.Errorf("error\n%s\nwant\n%s", got, test.want)
			}
		})
	}
}

func TestSettingsPeek(t *testing.T) {
	records, err := list.Read("x.list", []byte("lamp a b"))
	if err != nil {
		t.Fatal(err)
	}
	var errs list.Errors
	s := list.NewSettings(&errs, records[0], 2)
	if got := s.Peek().Text; got != "b" {
		t.Errorf("Peek() = %q, want b", got)
	}
	if w, ok := s.Next("a word"); !ok || w.Text != "b" {
		t.Errorf("Next() = %q, %v, want b", w.Text, ok)
	}
	s.Wrong("first")
	s.Wrong("second")
	if err := errs.Err(); err == nil || err.Error() != "x.list:1:8: first" {
		t.Errorf("error %v, want the first alone", err)
	}
	if s.Peek().Text != "" || s.More() {
		t.Error("words left to read after something wrong")
	}
}
