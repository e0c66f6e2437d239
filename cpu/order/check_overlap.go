package order

import (
	"cmp"
	"math/bits"
	"slices"

	"coldstart/cpu/order/syntax"
)

// exceptions finds the orders that others name as coming before them. It is done when all orders are known, since one may
// name another that stands below it.
func (c *checker) exceptions() {
	known := namesOf(c.code.Orders, func(o *Order) string { return o.Name })
	for _, s := range every[*syntax.Order](c) {
		for _, o := range c.typed[s.Name.Text] {
			for _, n := range s.Except {
				first := c.typed[n.Text] // all that one typing stands for
				if one := c.code.Order(n.Text); one != nil {
					first = []*Order{one}
				}
				switch {
				case len(first) == 0:
					c.unknown("order", n, known)
				case slices.Contains(first, o):
					c.errorf(n.At, "order %s cannot come before itself", o.Name)
				default:
					o.Except = append(o.Except, first...)
				}
			}
		}
	}
}

// overlaps complains of orders that read the same word, unless one of them yields to the other.
func (c *checker) overlaps(all []cube) {
	g := c.code.Geometry
	for i, b := range all {
		for _, a := range all[:i] {
			if both := a.mask & b.mask; a.order == b.order || a.value&both != b.value&both || a.order.yields(b.order) || b.order.yields(a.order) {
				continue
			}
			c.errorf(c.at[b.order], "orders %s (line %d) and %s both read word %s: one pattern is mistyped, or too wide",
				a.order.Name, a.order.Line, b.order.Name, g.Style.Word(a.value|b.value, c.code.OrderWidth()))
		}
	}
}

// yields says that another order comes before this one.
func (o *Order) yields(other *Order) bool { return slices.Contains(o.Except, other) }

// ranked puts the cubes of orders that come first before those of orders that yield to them; it complains of a circle.
func (c *checker) ranked(all []cube) {
	ranks := map[*Order]int{}
	for _, o := range c.code.Orders {
		c.rank(o, ranks)
	}
	slices.SortStableFunc(all, func(a, b cube) int { return cmp.Compare(ranks[a.order], ranks[b.order]) })
}

// rank is one more than the highest rank of those an order yields to; -1 while it is being worked out.
func (c *checker) rank(o *Order, ranks map[*Order]int) int {
	rank, known := ranks[o]
	if known {
		return rank
	}
	ranks[o] = -1
	for _, first := range o.Except {
		r := c.rank(first, ranks)
		if r < 0 {
			c.errorf(c.at[o], "orders %s and %s each come before the other: leave one `except` out", o.Name, first.Name)
		}
		rank = max(rank, r+1)
	}
	ranks[o] = rank
	return rank
}

// groupOverlaps complains of groups of undefined orders that share words, unless one lies within the other: then the
// narrower comes first. It leaves the cubes so sorted.
func (c *checker) groupOverlaps(all []cube) {
	g := c.code.Geometry
	for i, b := range all {
		for _, a := range all[:i] {
			both := a.mask & b.mask
			within := a.mask != b.mask && (both == a.mask || both == b.mask)
			if a.value&both == b.value&both && !within {
				c.errorf(c.at[b.order], "this group and the one in line %d both have word %s, and neither lies within the other",
					a.order.Line, g.Style.Word(a.value|b.value, c.code.OrderWidth()))
			}
		}
	}
	slices.SortStableFunc(all, func(a, b cube) int {
		return cmp.Compare(bits.OnesCount64(uint64(b.mask)), bits.OnesCount64(uint64(a.mask)))
	})
}
