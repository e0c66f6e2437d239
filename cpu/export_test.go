package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// FormsMet adds the forms of all orders that a machine has fused to those met.
func (m *Machine) FormsMet(met map[plan.Form]bool) {
	for _, x := range m.laid {
		for _, o := range x.orders {
			if o == nil {
				continue
			}
			for i := range o.Steps {
				met[o.Steps[i].Form] = true
			}
		}
	}
}

// FusedSteps is how many fused steps the order at a place has; 0 where it is not fused.
func (m *Machine) FusedSteps(a memory.Addr) int {
	for _, x := range m.laid {
		if x.holds(a) && x.orders[a-x.First] != nil {
			return len(x.orders[a-x.First].Steps)
		}
	}
	return 0
}
