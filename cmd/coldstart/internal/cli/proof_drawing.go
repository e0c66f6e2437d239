package cli

import (
	"fmt"
	"io"
	"path"
	"strings"

	"coldstart/cpu/order"
	"coldstart/cpu/order/proof"
	"coldstart/cpu/order/ruler"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A proofDrawing is one order as it was understood.
type proofDrawing struct {
	Order    string      `json:"order"`
	Operands []string    `json:"operands"`
	Line     int         `json:"line"`
	Page     string      `json:"page"`
	Words    []drawnWord `json:"words"`
	Parts    []drawnPart `json:"parts"`
	Must     []string    `json:"must"` // what the handbook says has to be so
}

// A drawnWord is one word of an order, or half a word.
type drawnWord struct {
	Width   int        `json:"width"` // bits
	Pattern string     `json:"pattern"`
	Bits    [][]string `json:"bits"` // their numbers from the left: one list, or one for each half that the order may stand in

	rows [][]string
}

// A drawnPart is what some bits of an order are.
type drawnPart struct {
	Kind  string `json:"kind"` // fixed, field, ignored or unknown
	Name  string `json:"name"`
	Width int    `json:"width"` // bits
	Bits  string `json:"bits"`
	Means string `json:"means"`
}

// draw puts the orders asked for into the report.
func (p *proving) draw(name string, found *proof.Report) error {
	if len(p.images) > 0 || p.next || len(p.starts) > 0 || p.office.layout != "" {
		return &unusable{where: "proof", what: "--drawing shows what is typed, and needs no image", next: "leave out --image, --next, --start and --layout, or --drawing"}
	}
	if found.Typed == nil {
		return nil // what is wrong is told in its place
	}
	p.report.Drawings, p.report.Counted = []proofDrawing{}, counted(found.Style)
	for _, o := range found.Typed.Orders {
		for _, wanted := range p.drawing {
			if asked(found.Typed, o, wanted) {
				p.report.Drawings = append(p.report.Drawings, newDrawing(found.Typed, o))
				break
			}
		}
	}
	for _, wanted := range p.drawing {
		if err := anyAsked(found, name, wanted); err != nil {
			return err
		}
	}
	return nil
}

// asked tells whether a person means an order: by its name, alone or with its operands; by part of the name and stars; or by
// how its first word begins.
func asked(c *order.Code, o *order.Order, wanted string) bool {
	if digits := strings.ReplaceAll(wanted, " ", ""); digits != "" && strings.Trim(digits, "01") == "" {
		p := o.Patterns[0]
		for i, d := range digits {
			bit := memory.Word(1) << max(p.Width-1-i, 0)
			if i >= p.Width || p.Mask&bit == 0 || (p.Value&bit != 0) != (d == '1') {
				return false
			}
		}
		return true
	}
	if same, err := path.Match(wanted, o.Name); err == nil && same {
		return true
	}
	return strings.Join(strings.Fields(wanted), " ") == strings.TrimSpace(o.Name+" "+strings.Join(operands(o), ", "))
}

// anyAsked refuses what no order is called, with the nearest that one is.
func anyAsked(found *proof.Report, file, wanted string) error {
	var names []string
	for _, o := range found.Typed.Orders {
		if asked(found.Typed, o, wanted) {
			return nil
		}
		names = append(names, o.Name)
	}
	u := &unusable{where: file, what: fmt.Sprintf("no order is called %q", list.Brief(wanted)), next: "'*' draws all, and 011 those whose words begin so"}
	if strings.Trim(wanted, "01 ") == "" && strings.Trim(wanted, " ") != "" {
		u.what = fmt.Sprintf("there is no order whose word begins %q", list.Brief(wanted))
	}
	if first := strings.Fields(wanted); len(first) > 0 {
		if near := list.Nearest(first[0], names); near != "" {
			u.next = "the nearest is " + near + "; " + u.next
		}
	}
	if found.Code == nil {
		u.next += "; an order that cannot be read is not drawn"
	}
	return u
}

// operands is the operands of an order as its first line has them.
func operands(o *order.Order) []string {
	all := []string{}
	for _, operand := range o.Operands {
		var letters []string
		for _, f := range operand.Fields {
			letters = append(letters, f.Name)
		}
		all = append(all, strings.Join(letters, " "))
	}
	return all
}

// newDrawing draws one order.
func newDrawing(c *order.Code, o *order.Order) proofDrawing {
	d := proofDrawing{Order: o.Name, Operands: operands(o), Line: o.Line, Page: o.Page, Must: []string{}}
	for _, w := range ruler.Words(c, o) {
		d.Words = append(d.Words, drawnWord{Width: len(w.Drawn), Pattern: w.Drawn, Bits: w.Rulers, rows: ruler.Lines(c.Geometry.Style, w.Drawn, w.Rulers...)})
	}
	for _, p := range ruler.Parts(c, o) {
		d.Parts = append(d.Parts, drawnPart(p))
	}
	for _, m := range o.Must {
		d.Must = append(d.Must, m.String())
	}
	return d
}

// counted says how the machine file counts bits.
func counted(s memory.Style) string {
	end := "right"
	if s.FromLeft {
		end = "left"
	}
	return fmt.Sprintf("Bits are counted from %d at the %s.", s.FirstBit, end)
}

// print prints the drawing, and below it what each bit is.
func (d *proofDrawing) print(w io.Writer) {
	fmt.Fprintln(w)
	fold(w, "", fmt.Sprintf("%s (line %d%s)", strings.TrimSpace("order "+d.Order+" "+strings.Join(d.Operands, ", ")), d.Line, onPage(d.Page)))
	for i, word := range d.Words {
		if len(d.Words) > 1 {
			fmt.Fprintf(w, "  word %d of %d\n", i+1, len(d.Words))
		}
		for _, row := range word.rows {
			high := (len(row) - 1) / len(word.Bits) // lines of digits for each ruler
			for j, line := range row {
				label := ""
				switch {
				case j == len(row)-1:
					label = "pattern"
				case j%high == 0 && len(word.Bits) > 1:
					label = [...]string{"at left", "at right"}[j/high]
				case j%high == 0:
					label = "bit"
				}
				fmt.Fprintln(w, strings.TrimRight(fmt.Sprintf("  %-9s %s", label, line), " "))
			}
		}
	}
	for _, p := range d.Parts {
		head := fmt.Sprintf("  %-9s %-8s ", p.Name, amount(p.Width, "bit"))
		said := p.Bits + ": " + p.Means
		if p.Kind == "fixed" {
			said = p.Bits + ": always " + p.Means
		}
		fmt.Fprintln(w, list.Fold(head+said, strings.Repeat(" ", 23)))
	}
	for _, m := range d.Must {
		fmt.Fprintln(w, list.Fold(fmt.Sprintf("  %-9s %s: a run says where it is not so", "must be", m), strings.Repeat(" ", 14)))
	}
}
