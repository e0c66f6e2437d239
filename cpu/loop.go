package cpu

import (
	"math/bits"

	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// runFused takes fused orders until n are done, until the time is reached or a timer may have run out, or until one gives way.
// It gives the number taken, and whether an order gave way that has not begun.
//
// While the loop runs the order counter, the time and the number of orders stand in locals, so nothing in it may call what
// looks at them. Every case finds out whether it must give way, and reads all it needs, before it sets anything.
func (m *Machine) runFused(n int64, until Time) (taken int64, gaveWay bool) {
	x, v := m.fast, m.file.All
	first, base, step := x.first, memory.Word(x.First), memory.Word(x.step)
	pc := memory.Word(m.Place()) - base
	allowed := m.allowed(n, until)
	left := allowed
	var here memory.Word
	var cycles, spent int64
	var f *plan.Fused
orders:
	for left > 0 {
		if pc >= memory.Word(len(first)) {
			gaveWay, f = true, nil
			break
		}
		here = pc
		f = &first[pc]
		pc += step
		left--
		cycles += int64(f.Cost)
	again:
		switch f.Form {
		default:
			gaveWay = true
			break orders
		case plan.FormLoadNote:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			w := word
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormLoad:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			v[f.D] = word
		case plan.FormStore:
			a := reach(v, f)
			if i, ok := x.plain(a); ok {
				x.set(i, v[f.B])
			} else if !x.open(a, v[f.B]) {
				gaveWay = true
				break orders
			}
		case plan.FormStoreAdd:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			sum := v[f.D] + word + v[f.C]
			w := sum & (memory.Word(2)<<(f.N&63) - 1)
			v[f.G], v[f.D] = sum>>(f.N&63+1), w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormStoreTake:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			mask := memory.Word(2)<<(f.N&63) - 1
			diff := v[f.D] + (word ^ mask) + 1
			w := diff & mask
			v[f.G], v[f.D] = diff>>(f.N&63+1), w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormStoreAnd:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			w := v[f.D] & word
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormStoreOr:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			w := v[f.D] | word
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormStoreXor:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			w := v[f.D] ^ word
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormStoreCompare:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			mask := memory.Word(2)<<(f.N&63) - 1
			l, r := v[f.B], word
			v[f.G] = truth(l+(r^mask)+1 > mask)
			v[f.E], v[f.F] = truth(l^(mask>>1+1) < r^(mask>>1+1)), truth(l == r)
		case plan.FormStepUp:
			a, mask := reach(v, f), memory.Word(2)<<(f.N&63)-1
			var w memory.Word
			if i, ok := x.plain(a); ok {
				w = (x.Words[i] + v[f.B]) & mask
				x.set(i, w)
			} else if w, ok = x.count(a, v[f.B], mask); !ok {
				gaveWay = true
				break orders
			}
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormStepDown:
			a, mask := reach(v, f), memory.Word(2)<<(f.N&63)-1
			var w memory.Word
			if i, ok := x.plain(a); ok {
				w = (x.Words[i] - v[f.B]) & mask
				x.set(i, w)
			} else if w, ok = x.count(a, -v[f.B], mask); !ok {
				gaveWay = true
				break orders
			}
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormGoStore:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			pc = word&f.M - base
		case plan.FormAddNote:
			sum := v[f.A] + v[f.B] + v[f.C]
			w := sum & f.M
			v[f.G], v[f.D] = truth(sum > f.M), w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormTakeNote:
			mask := f.M
			diff := v[f.A] + (v[f.B] ^ mask) + 1
			w := diff & mask
			v[f.G], v[f.D] = truth(diff > mask), w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormSubtractNote:
			w := (v[f.A] - v[f.B]) & f.M
			v[f.D] = w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormCompare:
			mask := f.M
			l, r := v[f.A], v[f.B]
			v[f.G] = truth(l+(r^mask)+1 > mask)
			v[f.E], v[f.F] = truth(l^(mask>>1+1) < r^(mask>>1+1)), truth(l == r)
		case plan.FormAndNote:
			w := v[f.A] & v[f.B]
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormOrNote:
			w := v[f.A] | v[f.B]
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormXorNote:
			w := v[f.A] ^ v[f.B]
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormNotNote:
			w := ^v[f.A] & f.M
			v[f.D] = w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormMoveNote:
			w := v[f.A]
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormLeftNote:
			w := v[f.A] << v[f.B] & f.M
			v[f.D] = w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormRightNote:
			w := v[f.A] >> v[f.B]
			v[f.D] = w
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormDrawNote:
			n := 63 - f.N&63
			w := memory.Word(int64(v[f.A]<<n)>>n>>min(v[f.B], 63)) & f.M
			v[f.D] = w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormTurnNote:
			w := turned(v[f.A], v[f.B], f.N&63+1) & f.M
			v[f.D] = w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormTurnBackNote:
			w := turnedBack(v[f.A], v[f.B], f.N&63+1) & f.M
			v[f.D] = w
			v[f.E], v[f.F] = truth(w > f.M>>1), truth(w == 0)
		case plan.FormNote:
			w := v[f.D]
			v[f.E], v[f.F] = w>>(f.N&63)&1, truth(w == 0)
		case plan.FormGoCount:
			w := (v[f.A] - v[f.B]) & f.M
			v[f.D] = w
			if w != v[f.C] {
				pc = memory.Word(f.K)
			}
		case plan.FormGoEqual:
			if v[f.A] == v[f.B] {
				pc = memory.Word(f.K)
			}
		case plan.FormGoUnequal:
			if v[f.A] != v[f.B] {
				pc = memory.Word(f.K)
			}
		case plan.FormGoBelow:
			if v[f.A] < v[f.B] {
				pc = memory.Word(f.K)
			}
		case plan.FormGoAtMost:
			if v[f.A] <= v[f.B] {
				pc = memory.Word(f.K)
			}
		case plan.FormGoLess:
			sign := memory.Word(1) << (f.N & 63)
			if v[f.A]^sign < v[f.B]^sign {
				pc = memory.Word(f.K)
			}
		case plan.FormGoBit:
			if v[f.A]>>(f.N&63)&1 == v[f.B] {
				pc = memory.Word(f.K)
			}
		case plan.FormFindClear:
			w := v[f.A]
			v[f.F] = truth(w == 0)
			if w != 0 {
				zeros := memory.Word(int(f.N&63) + 1 - bits.Len64(uint64(w)))
				clear, number := w^v[f.B]>>zeros, (v[f.C]-zeros)&f.M
				v[f.D], v[f.E] = clear, number
			}
		case plan.FormFind:
			w := v[f.A]
			v[f.F] = truth(w == 0)
			if w != 0 {
				v[f.D] = (v[f.B] - memory.Word(int(f.N&63)+1-bits.Len64(uint64(w)))) & f.M
			}
		case plan.FormGoReach:
			pc = reach(v, f) - base
		case plan.FormLoadMove:
			a := reach(v, f)
			word, ok := x.look(a)
			if !ok {
				if word, ok = x.doubtful(a); !ok {
					gaveWay = true
					break orders
				}
			}
			c := v[f.C]
			v[f.D], v[f.E] = word, c
		case plan.FormGoNotLess:
			sign := memory.Word(1) << (f.N & 63)
			if v[f.A]^sign >= v[f.B]^sign {
				pc = memory.Word(f.K)
			}
		case plan.FormPlusMove:
			v[f.D], v[f.E] = (v[f.A]+v[f.B])&f.M, v[f.C]
		case plan.FormMinusMove:
			v[f.D], v[f.E] = (v[f.A]-v[f.B])&f.M, v[f.C]
		case plan.FormAndMove:
			v[f.D], v[f.E] = v[f.A]&v[f.B], v[f.C]
		case plan.FormOrMove:
			v[f.D], v[f.E] = v[f.A]|v[f.B], v[f.C]
		case plan.FormXorMove:
			v[f.D], v[f.E] = v[f.A]^v[f.B], v[f.C]
		case plan.FormLeftMove:
			v[f.D], v[f.E] = v[f.A]<<v[f.B]&f.M, v[f.C]
		case plan.FormRightMove:
			v[f.D], v[f.E] = v[f.A]>>v[f.B], v[f.C]
		case plan.FormDrawMove:
			v[f.D], v[f.E] = memory.Word(int64(v[f.A]<<(63-f.N&63))>>(63-f.N&63)>>min(v[f.B], 63))&f.M, v[f.C]
		case plan.FormLessMove:
			v[f.D], v[f.E] = truth(v[f.A]^(f.M>>1+1) < v[f.B]^(f.M>>1+1)), v[f.C]
		case plan.FormBelowMove:
			v[f.D], v[f.E] = truth(v[f.A] < v[f.B]), v[f.C]
		case plan.FormLink:
			v[f.D], v[f.E] = v[f.A], v[f.C]
			pc = memory.Word(f.K)
		case plan.FormAdd:
			v[f.D] = (v[f.A] + v[f.B] + v[f.C]) & f.M
		case plan.FormCarry:
			v[f.D] = truth(v[f.A]+v[f.B]+v[f.C] > f.M)
		case plan.FormSubtract:
			v[f.D] = (v[f.A] - v[f.B]) & f.M
		case plan.FormLess:
			v[f.D] = truth(v[f.A]^(f.M>>1+1) < v[f.B]^(f.M>>1+1))
		case plan.FormNot:
			v[f.D] = ^v[f.A] & f.M
		case plan.FormLeft:
			v[f.D] = v[f.A] << v[f.B] & f.M
		case plan.FormRight:
			v[f.D] = v[f.A] >> v[f.B]
		case plan.FormSwap:
			v[f.D], v[f.E] = v[f.A], v[f.B]
		case plan.FormMerge:
			v[f.D] = v[f.A]&^v[f.B] | v[f.C]&v[f.B]
		case plan.FormTurn:
			v[f.D] = turned(v[f.A], v[f.B], f.N&63+1) & f.M
		case plan.FormTurnBack:
			v[f.D] = turnedBack(v[f.A], v[f.B], f.N&63+1) & f.M
		case plan.FormMove3:
			v[f.D], v[f.E], v[f.F] = v[f.A], v[f.B], v[f.C]
		case plan.FormMove2:
			v[f.D], v[f.E] = v[f.A], v[f.B]
		case plan.FormGo:
			pc = memory.Word(f.K)
		case plan.FormGoTo:
			pc = v[f.A]>>(f.N&63)&f.M - base
		case plan.FormMove:
			v[f.D] = v[f.A]
		case plan.FormPlus:
			v[f.D] = (v[f.A] + v[f.B]) & f.M
		case plan.FormMinus:
			v[f.D] = (v[f.A] - v[f.B]) & f.M
		case plan.FormAnd:
			v[f.D] = v[f.A] & v[f.B]
		case plan.FormOr:
			v[f.D] = v[f.A] | v[f.B]
		case plan.FormXor:
			v[f.D] = v[f.A] ^ v[f.B]
		case plan.FormEqual:
			v[f.D] = truth(v[f.A] == v[f.B])
		case plan.FormUnequal:
			v[f.D] = truth(v[f.A] != v[f.B])
		case plan.FormBelow:
			v[f.D] = truth(v[f.A] < v[f.B])
		case plan.FormAtMost:
			v[f.D] = truth(v[f.A] <= v[f.B])
		case plan.FormBits:
			v[f.D] = v[f.A] >> (f.N & 63) & f.M
		case plan.FormJoin:
			v[f.D] = v[f.A]<<(f.N&63) | v[f.B]
		case plan.FormPut:
			v[f.D] = v[f.D]&^f.M | v[f.A]<<(f.N&63)&f.M
		case plan.FormCompute:
			v[f.D] = m.adder.Compute(&plan.Step{Op: plan.Op(f.J), N: f.N, M: f.M}, v[f.A], v[f.B], v[f.C])
		case plan.FormUnless:
			if v[f.A] == 0 {
				if f.K == 0 {
					continue
				}
				f = &x.orders[here].Steps[f.K]
				goto again
			}
		case plan.FormCount:
			if v[f.D] == 0 {
				if f.K == 0 {
					continue
				}
				f = &x.orders[here].Steps[f.K]
				goto again
			}
			v[f.D]--
		case plan.FormLoadPart:
			word, ok := x.part(v[f.A], f.N)
			if !ok {
				gaveWay = true
				break orders
			}
			v[f.D] = word & f.M
		case plan.FormStorePart:
			if !x.setPart(v[f.A], f.N, v[f.B]) {
				gaveWay = true
				break orders
			}
		case plan.FormFetch:
			x.fetch(memory.Addr(here+base), f.K)
		case plan.FormSkip:
		case plan.FormSpend:
			spent += int64(v[f.A])
			allowed, left = allowed-left, 0 // how many more may be done has to be worked out anew
		}
		if f.More != 0 {
			f = &x.orders[here].Steps[f.More]
			goto again
		}
	}
	if !gaveWay || f == nil {
		m.arrive(memory.Addr(pc+base), allowed-left, cycles+spent)
		return allowed - left, gaveWay
	}
	taken = allowed - left - 1
	m.arrive(memory.Addr(here+base), taken, cycles-int64(first[here].Cost))
	if f == &first[here] {
		return taken, true
	}
	m.resume(x.orders[here].Bound, memory.Addr(here+base), memory.Addr(pc+base), int(f.Cost), spent)
	return taken + 1, false
}
