package cpu

import "coldstart/cpu/internal/plan"

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
