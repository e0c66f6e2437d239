package march

import "fmt"

// A Kind is a fault model by its usual name.
type Kind struct {
	Symbol string // as the literature writes it: CFid
	Name   string // in words
	Linked bool   // two faults at once
}

// A variant is one way in which a kind of fault can be; make gives the memories that have it, all of so many cells: one for
// each place that it can lie at.
type variant struct {
	name string
	make func(cells int) []*model
}

// A definition is a kind and its variants in a memory of so many cells. Only of linked faults does their number depend on it.
type definition struct {
	Kind
	variants func(cells int) []variant
}

// definitions is every kind of fault, in the order of the package comment.
var definitions = []definition{
	{Kind{"AF A", "address decoder A: an address without a cell, a cell without an address", false}, decoderA},
	{Kind{"AF B", "address decoder B: an address without a cell, whose cell another address reaches too", false}, decoderB},
	{Kind{"AF C", "address decoder C: two addresses of one cell, a cell without an address", false}, decoderC},
	{Kind{"AF D", "address decoder D: an address that reaches the cell of another too", false}, decoderD},
	{Kind{"SAF", "stuck-at", false}, single("<!x/x/->")},
	{Kind{"SOF", "stuck-open", false}, stuckOpen},
	{Kind{"TF", "transition", false}, single(transition)},
	{Kind{"CFin", "inversion coupling", false}, pair(inversion)},
	{Kind{"CFid", "idempotent coupling", false}, pair(idempotent)},
	{Kind{"CFst(p)", "state coupling, the victim overwritten", false}, pair("<s;!y/y/->")},
	{Kind{"CFst(t)", "state coupling, only reads wrong", false}, pair("<s;!yr!y/!y/y>")},
	{Kind{"WDF", "write disturb", false}, single("<xwx/!x/->")},
	{Kind{"RDF", "read destructive", false}, single("<xrx/!x/!x>")},
	{Kind{"DRDF", "deceptive read destructive", false}, single("<xrx/!x/x>")},
	{Kind{"IRF", "incorrect read", false}, single("<xrx/x/!x>")},
	{Kind{"CFds rx", "disturb coupling by a read", false}, pair("<xrx;y/!y/->")},
	{Kind{"CFds xw!x", "disturb coupling by a transition write", false}, pair("<xw!x;y/!y/->")},
	{Kind{"CFds xwx", "disturb coupling by a non-transition write", false}, pair("<xwx;y/!y/->")},
	{Kind{"CFtr", "transition coupling", false}, pair("<s;xw!x/x/->")},
	{Kind{"CFwd", "write disturb coupling", false}, pair("<s;xwx/!x/->")},
	{Kind{"CFrd", "read destructive coupling", false}, pair("<s;xrx/!x/!x>")},
	{Kind{"CFdrd", "deceptive read destructive coupling", false}, pair("<s;xrx/!x/x>")},
	{Kind{"CFir", "incorrect read coupling", false}, pair("<s;xrx/x/!x>")},
	{Kind{"CFid#CFid two", "idempotent couplings linked, of two aggressors", true}, linkedTwo(opposed(false))},
	{Kind{"CFid#CFid one", "idempotent couplings linked, of one aggressor", true}, linkedOne(opposed(true))},
	{Kind{"CFin#CFin two", "inversion couplings linked, of two aggressors", true}, linkedTwo(every(expand(inversion), expand(inversion)))},
	{Kind{"CFin#CFin one", "inversion couplings linked, of one aggressor", true}, linkedOne([][2]string{[2]string(expand(inversion))})},
	{Kind{"TF#CFin", "transition and inversion coupling linked", true}, linkedOne(every(expand(transition), expand(inversion)))},
	{Kind{"TF#CFid", "transition and idempotent coupling linked", true}, linkedOne(every(expand(transition), expand(idempotent)))},
}

// The templates that linked faults are made of.
const (
	transition = "<xw!x/x/->"
	inversion  = "<xw!x;0/1/-> <xw!x;1/0/->"
	idempotent = "<xw!x;!y/y/->"
)

// Kinds is every kind of fault that Cover knows.
func Kinds() []Kind {
	var all []Kind
	for _, d := range definitions {
		all = append(all, d.Kind)
	}
	return all
}

// faulty is a memory with primitives.
func faulty(bounds ...[]bound) *model {
	m := &model{open: -1}
	for _, b := range bounds {
		m.bound = append(m.bound, b...)
	}
	return m
}

// single is the variants of a fault of one cell.
func single(template string) func(int) []variant {
	return func(int) (all []variant) {
		for _, text := range expand(template) {
			all = append(all, variant{text, func(cells int) (ms []*model) {
				for v := range cells {
					ms = append(ms, faulty(bind(text, v, v)))
				}
				return ms
			}})
		}
		return all
	}
}

// sides are where the aggressor lies.
var sides = [...]string{"aggressor below", "aggressor above"}

// pair is the variants of a fault of two cells.
func pair(template string) func(int) []variant {
	return func(int) (all []variant) {
		for _, text := range expand(template) {
			for side, where := range sides {
				all = append(all, variant{text + ", " + where, func(cells int) (ms []*model) {
					for lower, upper := range pairs(cells) {
						a, v := lower, upper
						if side == 1 {
							a, v = upper, lower
						}
						ms = append(ms, faulty(bind(text, a, v)))
					}
					return ms
				}})
			}
		}
		return all
	}
}

// pairs goes through all pairs of cells, the lower one first.
func pairs(cells int) func(yield func(lower, upper int) bool) {
	return func(yield func(int, int) bool) {
		for upper := range cells {
			for lower := range upper {
				if !yield(lower, upper) {
					return
				}
			}
		}
	}
}

// at is the one variant of a linked fault at one place.
func at(m *model, format string, args ...any) variant {
	return variant{fmt.Sprintf(format, args...), func(int) []*model { return []*model{m} }}
}
