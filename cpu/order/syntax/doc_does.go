// Package syntax reads what a machine does as lines of transfers and actions, in
// orders and wherever else does stands.
//
// # What orders do
//
// A transfer has targets, an arrow, and as many values. A target is a register, a
// flip-flop, store[address], channel[code], command[code], a name given with let,
// a field that a group makes a register, bits of any of these, or a join of them:
//
//	order     divide-step
//	  pattern 0110 0000 **********
//	  does    A:B <- left(A:B, 1)
//	          B.0, carry <- carry, A.17
//
// Where the handbook has an order that writes wrong parity on purpose, so that a
// program can try the parity check, the target is wrong-parity[address], or
// wrong-parity[address, column] for one column alone. The word is written as into
// store, and each such parity column of its area is made wrong; an area without
// that column, or without any, is written as ever. The next write of the word
// makes it right again. Where the area corrects, a read goes by the check matrix:
// one column wrong points at itself, and the word is right; several may point at a
// good bit, which is then turned over, as it would be in the machine:
//
//	order     spoil a                page 3-31
//	  pattern 0011 010 aaaaaaaaaaa
//	  does    wrong-parity[page:a] <- A
//	order     spoil-left a
//	  pattern 0011 011 aaaaaaaaaaa
//	  does    wrong-parity[page:a, left] <- A
//	  check   "0011 011 00000001010" reads "spoil-left 12"
//	  check   page = 0, A = 5 : store[12] = 5
//
// Parts between semicolons happen together, as if they were one transfer. let
// names a value for the lines after it; it is a copy and stays when its sources
// change, and it may be set again by a transfer:
//
//	order     exchange a
//	  pattern 0110 aaaa **********
//	  does    let v = store[extend(a, 15)]
//	          store[extend(a, 15)] <- A; A <- v
//
// if on one line has then, and may have else; all the parts up to else are done or
// left. In block form the lines between are done in turn, and end closes it:
//
//	order     skip-if r
//	  pattern 0101 rr 00 **********
//	  does    if r = 0 then P <- P + 1; zero <- 1 else zero <- 0
//	          if carry = 1
//	            carry <- 0
//	          else
//	            carry <- 1
//	            P <- P + 1
//	          end
//
// repeat does its lines again, never more often than it says; while ends it
// earlier, and is looked at before each time:
//
//	order     chase
//	  pattern 0101 0100 **********
//	  does    let more = extend(1, 1)
//	          repeat 16 times while more = 1
//	            A, more <- store[A.14-0], A.17
//	            spend 1
//	          end
//
// The actions are halt, which stops the machine; wait, which stays in this order
// until a value is 1; spend, which adds cycles to the cost; restart, which starts
// a timer anew; and trap, which springs a trap and leaves the order at once:
//
//	order     listen c, g
//	  pattern 0100 cc gg **********
//	  does    if c = 3 then trap no-reply
//	          wait sign[c, g] = 1
//	          restart sanity
//	          spend 3
//	order     halt
//	  pattern 1111 1000 **********
//	  does    halt
//
// Somebody at the keys may set a halted machine going again: at the resume key it
// goes on where its order counter stands, and neither time nor timers have run
// meanwhile. Where the handbook says that nothing but a new start helps, say halt
// for good. A halt in a trap is one for good too, whatever it says:
//
//	order     give-up
//	  pattern 1111 1001 **********
//	  does    halt for good
//
// # Values
//
// A value is a name, a number, or built from others. Each has a width in bits,
// known before anything runs; widths that do not fit are errors, never cut in
// silence. From the tightest to the loosest:
//
//   - x.17 is bit 17 of x, x.14-0 a run of bits. The numbers are decimal, counted
//     as the numbers line says. A pick is written close: x.3 - 1 takes 1 from bit
//     3
//   - x:y joins, x at the left
//   - x + y and x - y count, and drop what goes over the width; both widths are
//     alike
//   - = /= < <= > >= compare without sign and give one bit; to compare the outcome
//     of a comparison, put brackets round it
//   - not x turns every bit over; not x = y is not (x = y)
//   - and, then xor, then or work bit by bit
//   - if c then x else y chooses; only the value chosen is read
//
// Operators of one line in this list are read from the left; brackets change that:
//
//	order     try a
//	  pattern 0011 000 aaaaaaaaaaa
//	  does    A <- (A and not B) or (store[page:a] and B)
//	          A <- A xor (A:B).17-0
//	          zero <- A = 0 and not (B = octal 17 or carry = 1)
//	          B <- if minus = 1 then A.8-0:A.17-9 else B - A + 1
//
// store[a] is the word at address a; where an address counts units, it is the word
// of the units from a on, and store[a, n] only the first n bits of those.
// channel[c] what channel c gives or takes, command[c] a command to it, and
// sign[c, n] its sign n, one bit. here is the place of the order acting. The
// functions are:
//
//   - extend(x, n), sign(x, n): x made n bits wide with zeros, or with its top bit
//   - cut(x, n): the low n bits of x
//   - left(x, n), right(x, n): x moved by n places, zeros drawn in
//   - draw(x, n): x moved right, its top bit drawn in
//   - rotate-left(x, n), rotate-right(x, n): x turned by n places
//   - leading(x), trailing(x): how many zeros stand left, or right, of the
//     outermost one; the width of x where x is 0
//   - ones(x): how many ones
//   - parity(x): 1 where the number of ones is odd
//   - add(x, y), add(x, y, c): the sum in the machine's complement, with a carry
//     in
//   - subtract(x, y): the difference in the machine's complement
//   - carry(x, y), carry(x, y, c): the carry out of such a sum
//   - overflow(x, y), overflow(x, y, c): 1 where its sign is wrong
//   - less(x, y): 1 where x is below y, both with sign
//   - multiply(x, y): the product without sign, as wide as x and y together
//   - divide(x, y), remainder(x, y): without sign; where y is 0, all ones, and x
//   - add-decimal(x, y), carry-decimal(x, y): the sum of decimal digits of four
//     bits each, and its carry out; both take a carry in too; a digit of ten
//     counts as ten
//   - after(p): the place behind the order at p, however many words that order has
//
// Products and quotients are without sign, and what divides by nothing gives all
// ones:
//
//	order     multiply a
//	  pattern 0111 0000 aaaaaaaaaa
//	  does    A:B <- multiply(A, store[extend(a, 15)])
//	  check   "0111 0000 0000001010" reads "multiply 12"
//	  check   A = 3, store[12] = 400000 : A = 1, B = 400000
//	  check   A = 777777, store[12] = 777777 : A = 777776, B = 1
//	order     divide a
//	  pattern 0111 0001 aaaaaaaaaa
//	  does    let by = store[extend(a, 15)]
//	          A, B <- divide(A, by), remainder(A, by)
//	  check   "0111 0001 0000001010" reads "divide 12"
//	  check   A = 21, store[12] = 5 : A = 3, B = 2
//	  check   A = 21, store[12] = 0 : A = 777777, B = 21
//
// A decimal sum takes four digits of four bits here. What carries out of one digit
// goes into the next, what carries out of the last is carry-decimal, and a digit
// typed as ten, as a dialled 0 is kept, is ten:
//
//	order     add-digits
//	  pattern 0111 0010 **********
//	  does    let carried = carry-decimal(A.15-0, B.15-0, carry)
//	          A.15-0, carry <- add-decimal(A.15-0, B.15-0, carry), carried
//	  check   A = hexadecimal 0095, B = 7, carry = 0 : A = hexadecimal 0102
//	  check   A = hexadecimal 9999, B = 0, carry = 1 : A = 0, carry = 1
//	  check   A = 12, B = 0, carry = 0 : A = hexadecimal 0010, carry = 0
//
// Of a machine whose addresses count pieces of a word an order can take a piece
// alone; and one that passes over the next order passes over all its words:
//
//	unit      9 bits, low end first
//	order     skip-character a
//	  pattern 0101 000 aaaaaaaaaaa
//	  does    if store[page:a, 9] = 0 then P <- after(P)
//	          store[page:a + 1, 9] <- 17
//
// # Interrupts
//
// interrupt says what the machine does between two orders when something outside
// the program calls: never between the words of one. when says what has to be 1,
// level which comes first when several call, the highest. after holds it off until
// so many orders were done since a flip-flop was last set to 1. here is the place
// of the order that would have come next:
//
//	interrupt tape "tape reader ready" page 4-2
//	  level   3
//	  when    enable = 1 and sign[1, 0] = 1
//	  after   1 orders of enable
//	  does    saved, enable <- here, 0
//	          P <- 40
//
// # Traps, timers and start-up
//
// trap says what the machine does at an event inside it. The machine itself
// springs parity, undefined, no-reply, protected and corrected; an order or a
// timer springs the others. With when, the trap happens only where that value is
// 1. A trap inside a trap springs the trap again; without that one, or in it, the
// machine stops:
//
//	trap      parity "store parity wrong at a read"
//	  when    check = 1
//	  does    saved, reason <- here, 1
//	          halt
//
// timer runs down unless the program restarts it, then springs its trap:
//
//	timer     sanity: 1600 ms, trap insane
//
// A program gone wild may restart it all the time; so a restart sooner than early
// after the last one springs a trap of its own:
//
//	timer     sanity: 1600 ms, trap insane, early 100 ms trap hasty, plug-in TM1
//
// boot says what start-up sets; whatever it does not name is unknown at power-up:
//
//	boot
//	  does    P, page <- 77400, 0
//	          restart sanity
//
// # Two machines
//
// duplex is for machines that stand in pairs. It names the flip-flop that is 1 in
// the one on-line, and the gap of a changeover: that long after it has fallen in
// one machine it rises in the other, and that long after it has risen in one it
// falls in the other. Orders, traps and timers make a changeover by clearing or
// setting it, and so does a key. What goes out over channels that it gates is lost
// where the flip-flop is 0. does is what a machine does that comes on-line; where
// it is left out, the machine goes on as it was. A machine alone passes over all
// of this:
//
//	flip-flop active
//	channel   PU1: code 6, 18 bits
//	duplex    active: gap 20 us, gates PU1   page 2-14
//	  does    P <- 100
//	          restart sanity
//
// mate names the channel by which each machine reaches the other, and how long
// that takes. A word sent is held; a command then says what is done with it: 0
// holds it as an address too, 1 reads the word of store there, 2 writes the word
// held into it, 3 reads register number address, in the order of this file from 0,
// 4 writes it, 5 stops the machine, 6 starts it at the address, 7 lets a stopped
// one do one order, and 8 makes a changeover. The reply is received where sign 0,
// ready, is 1. Sign 1 is 1 where the other machine is on-line, and sign 2 where it
// stands still. From a machine that is dead no reply comes:
//
//	flip-flop leading
//	channel   MC1: code 7, 18 bits
//	duplex    leading: gap 1 ms, mate MC1 after 30 us
//
// # Channels and lamps
//
// channel names a channel, its code in orders, and the width of what it carries:
//
//	channel   TC1: code 1, 18 bits   page 5-2
//
// A channel may stand in store, where no store is. At its first address reading
// takes and writing gives a word, a write at the next is a command, and from the
// one after that its signs are read, 8 of them where nothing is said:
//
//	channel   TC2: code 2, 18 bits, at 076000, signs 4, plug-in CH2
//
// Lines of a channel may be true-low. With inverted words a program has the
// complement of what the device has, of words and commands alike; with an inverted
// sign it reads a one while the device gives 0; signs without a number means every
// sign:
//
//	channel   TC3: code 3, 18 bits, inverted words and sign 2 and sign 3
//	channel   TC4: code 4, 18 bits, inverted signs, plug-in CH2
//
// A sign may set a flip-flop when it comes up, and so a request is held: the
// flip-flop stands at 1 until an order or an interrupt clears it, however soon the
// sign is gone. While the machine stands still, or is not on-line, it is set too,
// and the next order finds it so:
//
//	flip-flop called, typed
//	channel   TC5: code 5, 18 bits, sets called by sign 0 and typed by sign 5
//
// A device may put words into store by itself, between two orders, and take cycles
// from the machine for each. Parity is made as for any word; where nothing answers
// or nothing can be written, the word is lost:
//
//	channel   TC6: code 6, 18 bits, steals 1 cycle
//
// lamps says which store words light lamps, with which bits, through which
// plug-in. A one lights a lamp, and where inverted stands a zero does:
//
//	lamps     000760-000763: bits 15-0, plug-in LD1
//	lamps     000764: bits 15-0, inverted, plug-in LD1
package syntax
