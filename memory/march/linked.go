package march

// opposed is the ways for one idempotent coupling to undo another: they force opposite values. Where both are of one
// aggressor they go with its opposite changes. Each two are there in both orders: so it is that the published numbers count.
func opposed(oneAggressor bool) (all [][2]string) {
	texts := expand(idempotent) // by change, and for each by value
	for i, one := range texts {
		for j, other := range texts {
			if i%2 != j%2 && (i/2 != j/2 || !oneAggressor) {
				all = append(all, [2]string{one, other})
			}
		}
	}
	return all
}

// every is every text of ones with every text of others.
func every(ones, others []string) (all [][2]string) {
	for _, one := range ones {
		for _, other := range others {
			all = append(all, [2]string{one, other})
		}
	}
	return all
}

// linkedTwo is two couplings of two aggressors on one victim, at every place.
func linkedTwo(texts [][2]string) func(int) []variant {
	return func(cells int) (all []variant) {
		for a, v := range distinct(cells) {
			for b := range cells {
				if b == a || b == v {
					continue
				}
				for _, t := range texts {
					all = append(all, at(faulty(bind(t[0], a, v), bind(t[1], b, v)), "%s of %d and %s of %d on %d", t[0], a, t[1], b, v))
				}
			}
		}
		return all
	}
}

// linkedOne is two faults of one victim at every place: two couplings of one aggressor, or one and a fault of the victim's own.
func linkedOne(texts [][2]string) func(int) []variant {
	return func(cells int) (all []variant) {
		for a, v := range distinct(cells) {
			for _, t := range texts {
				all = append(all, at(faulty(bind(t[0], a, v), bind(t[1], a, v)), "%s and %s of %d on %d", t[0], t[1], a, v))
			}
		}
		return all
	}
}

// distinct goes through all aggressors and victims.
func distinct(cells int) func(yield func(a, v int) bool) {
	return func(yield func(int, int) bool) {
		for v := range cells {
			for a := range cells {
				if a != v && !yield(a, v) {
					return
				}
			}
		}
	}
}
