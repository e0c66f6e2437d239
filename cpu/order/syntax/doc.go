// Package syntax reads and prints machine files. A machine file describes one
// processor the way its handbook does: its words, registers and store, its order
// code, and what each order does. This comment is the manual of the notation.
//
// # First rules
//
// A machine file is plain text, one thing to a line. The first word of a line says
// what the line is. A statement is a head line with clause lines below it:
//
//	order     add r, a               page 3-5
//	  pattern 0011 rr 0 aaaaaaaaaaa
//	  does    carry, r <- carry(r, store[page:a]), add(r, store[page:a])
//	          minus, zero <- r.17, r = 0
//	  cost    2
//
// Here order begins a statement; pattern, does and cost are its clauses. How far a
// line is set in does not matter, nor do blank lines. Use blanks, never tabs. A #
// begins a comment that runs to the end of the line; a comment may hold any text
// that prints. Letters, digits and marks outside comments and quotes are plain
// ASCII: curly quotes, long dashes and letters of other alphabets are refused with
// their names. A line is at most 4,000 bytes long, a file 4 MB, 30,000 statements
// and 250,000 words and marks; brackets and blocks nest at most 200 deep.
//
// What is wrong is told with its line and column, what was typed there, and what
// was expected or the nearest right word: the first ten of it, and of a file whose
// lines are all in the notation proof tells the rest too.
//
// Two rules say when things happen, and everything rests on them. All transfers on
// one line happen together: every value on the line is read before anything is
// set. Lines happen in turn, each after the one above it. So this exchanges A and
// B:
//
//	order     swap
//	  pattern 1111 0000 **********
//	  does    A, B <- B, A
//	  check   A = 1, B = 2 : A = 2, B = 1
//
// and this sets both to what B was:
//
//	order     level
//	  pattern 1111 0001 **********
//	  does    A <- B
//	          B <- A
//	  check   A = 1, B = 2 : A = 2, B = 2
//
// A word is letters, digits and hyphens, beginning with a letter; small and
// capital letters differ. A hyphen inside a word is part of it: a-b is one word,
// so a minus between two names has blanks round it, a - b.
//
// A number begins with a digit; where it is hexadecimal, letters may follow: 0F.
// Numbers are in the style that the numbers line states, but these are always
// decimal: times, counts of bits, cycles, orders, signs and repeats, levels, bit
// numbers, and the width in extend, sign, cut and store[a, n]. Patterns, words
// shown in checks, and the values in groups and choices are always binary. A word
// before a number in a value says how that number is meant instead: octal 17,
// decimal 10, binary 101, hexadecimal 0F.
//
// Text stands between straight quotes on one line and has no quote in it.
//
// A head line may end in the page of the handbook it was copied from, and in a ?
// when the typist is not sure of the statement. A clause line, and each line of
// does, may end in a ? too. The page is carried into every listing, and the doubt
// into every result that it touches:
//
//	register  X1, X2: 18 bits        page 2-2 ?
//	order     clear-x                page 3-9
//	  pattern 1111 0010 ********** ?
//	  does    X1 <- 0
//	          X2 <- 0 ?
//	  cost    2 ?
//
// A page may name its issue. A handbook grows by addenda: an order, group, choice
// or mode that says which page it replaces stands in place of the one of its name
// that was typed from there, of which nothing counts any more. Without that two of
// one name are an error. Where both sheets have one number, their issues tell them
// apart:
//
//	order     set-x                  page 3-10
//	  pattern 1111 0100 **********
//	  does    X1 <- 1
//	order     set-x                  page A-4 issue 2 replaces page 3-10
//	  pattern 1111 0100 **********
//	  does    X1, X2 <- 1, 0
//
// In a pattern ? draws a bit too; the one that stands alone at the line's end,
// with a blank before it, is the doubt mark.
//
// The words that begin lines are: adder, address, after, boot, channel, check,
// check-bit, chips, choice, clock, corrects, cost, counter, declares, does,
// duplex, each, else, end, except, flip-flop, group, halt, if, interrupt,
// inverted, issue, keys, lamps, let, level, machine, mirror, mode, must, numbers,
// operand, order, orders, parity, pattern, plug-in, protect, register, repeat,
// restart, spend, store, timer, trap, undefined, unit, unknown, wait, when, wired
// and word. A register
// may be called by one of them all the same, since no such line goes on with <- or
// a comma, colon, point or square bracket. A line that begins with trap is a
// statement where text follows the name, else an action. The words and, else, if,
// not, or, then and xor build values, and only an order or a choice may be called
// so.
//
// # The machine as a whole
//
// machine names the machine, and issue the handbook it was copied from:
//
//	machine   "Millrace 8"
//	issue     "handbook, second printing"
//
// numbers states the style of numbers (octal, hexadecimal, decimal or binary), and
// from which end bits are counted, beginning with 0 or 1. Every message keeps to
// it. Where groups are named, tables print long numbers with a blank between the
// groups:
//
//	numbers   hexadecimal, bit 1 at left
//
//	numbers   octal, bit 0 at right, groups of 3
//
// word states the width of a word, and how negative numbers are written: twos
// complement, ones complement, or sign-magnitude:
//
//	word      8 bits, ones complement
//
// address states the width of an address and, where the handbook writes more
// digits than that needs, how many:
//
//	address   12 bits
//
//	address   15 bits, 6 digits
//
// unit is for machines whose addresses count less than a word. It states how many
// bits an address counts, and which end of a word stands at the word's first
// address, low or high. Words then stand at multiples of the units in a word, and
// an order may be fetched from any unit:
//
//	unit      8 bits, low end first
//
// orders is for machines that keep two orders in a word: a pattern is then half a
// word wide. The order counter counts orders and is one bit wider than an address:
// its lowest bit says which half of the word the order stands in. here and after
// are such places too; store goes on taking addresses:
//
//	orders    2 in a word, left first
//
// clock states the time of one cycle in s, ms, us, ns or ps:
//
//	clock     2.5 us
//
// declares gives the number of orders that the handbook claims, to be held against
// the orders typed; with a pattern, the number of orders that begin so:
//
//	declares  74 orders
//	declares  8 orders of 0110 **************
//
// # Registers
//
// register declares registers of one width, flip-flop registers of one bit.
// counter declares the order counter, and says what it holds while an order acts:
// the place of the next order, or of this order itself:
//
//	counter   P: 12 bits, holds next order
//	register  A, B: 8 bits           page 2-1
//	flip-flop minus, zero, carry
//
// keys declares registers that hands set, and how they stand at power-up. Orders
// read them and cannot set them:
//
//	keys      entry: 18 bits, at start 000000
//
// Where the line of a key is true-low, so that orders read a one while the key
// stands at 0, say inverted. The keys are typed and keyed as they stand:
//
//	keys      drive: 2 bits, at start 01, inverted
//
// A register may say which plug-in holds it, and so may a timer and a channel; a
// flip-flop says it behind a colon. adder names the plug-in of the adder:
//
//	register  X1, X2: 18 bits, plug-in RG1
//	flip-flop minus, zero: plug-in RG2
//	adder     plug-in AL1
//
// # Store and plug-ins
//
// store declares areas of store, each the range of addresses of one plug-in, both
// ends counted. Several areas built alike share a statement. Where words of this
// store are not as wide as the machine's, the width follows:
//
//	store     ST0 000-377, ST1 400-777: 9 bits
//
// wired says that the processor cannot write there. parity names each parity
// column and the bits it covers; the address may be counted in. chips says which
// chip holds which bit; a row of chips stands for a row of bits, the first for the
// first:
//
//	store     ST0 000000-007777, ST1 010000-017777
//	  parity  right odd over 8-0, left odd over 17-9
//	  chips   U01-U18 for bits 0-17, U19 for right parity, U20 for left parity
//	store     WS1 077400-077777
//	  wired
//	  parity  whole odd over 17-0 and address
//	  chips   U01-U18 for bits 0-17
//
// inverted says that the store is held true-low: its cells, those of parity too,
// hold the complement of every word. Orders, images, tapes and every message have
// the true word, and parity is that of the true word. A jam alone is meant as the
// cell has it: in a word here, bit 3 = 0 sticks the cell at 0, and orders read a
// one there:
//
//	store     ST4 020000-027777
//	  inverted
//	  parity  whole odd over 17-0
//
// check-bit names a column over any bits; several make a check matrix. With
// corrects once, a read whose wrong columns point at one bit alone is put right:
// the order goes on with that word, and when it is done the trap corrected
// springs. Where they point at none, the parity of the word is wrong:
//
//	store     CS0 000-377: 4 bits
//	  check-bit c1 odd over 3 1 0
//	  check-bit c2 odd over 3-2 0
//	  check-bit c3 odd over 3-1
//	  corrects once
//	  chips   U1-U4 for bits 0-3, U5 for c1 parity, U6 for c2 parity
//
// protect names addresses, or one plug-in of store, where nothing is written while
// a value is 1. mirror names those whose writes go into the other machine's store
// too while a value is 1, the parity made anew there or copied as it is; a machine
// alone passes over it. Both values hang on registers alone. In that of protect,
// at is the address that is to be written, to be held against a range register:
//
//	protect   004000-007777 when guard = 1 and entry.17 = 0
//	protect   ST0 when guard = 1 and at < X1.14-0
//	mirror    000000-003777 when mate = 1, parity remade
//
// plug-in names a plug-in that holds no store, so that faults in it have a place:
//
//	plug-in   AL1 "adder"
//
// # Names for the values of fields
//
// A field is the run of like letters in the pattern of an order. group says which
// register each value of a field means; the field then stands for that register in
// what orders do. choice says which word order text has for each value; - means
// that nothing is written:
//
//	group     r: 00 A, 01 B, 10 X1
//	choice    i: 0 -, 1 through
//
// # Orders
//
// order names one order and the operands its text has, in the order they are
// written. An operand is the letter of a field, or several side by side: i a is
// written through 12, or 12 alone where choice i says nothing. The name may be any
// word:
//
//	order     load r, i a            page 3-4
//	  pattern 0001 rr i aaaaaaaaaaa
//
// pattern is the drawing of the order's word, as the handbook has it, the highest
// bit first; blanks are for the eye. 0 and 1 are fixed bits, letters are fields, *
// is a bit that the machine ignores, and ? one on which the handbook is silent. An
// order of several words has a stroke between them, or a pattern line for each:
//
//	order     load-long r, v
//	  pattern 1111 0111 rr ******** / vvvvvvvvvvvvvvvvvv
//
// proof --drawing load-long shows what was understood: the pattern below the bit
// numbers of the numbers line, and each field with its bits. A range of bits, as
// in X1.14-0, has both ends counted and is typed from left to right, in whichever
// numbering: under bit 1 at left the same bits of an 18-bit word are X1.4-18. The
// other way round is an error that names the right one; a row of chips alone may
// run either way, since the first chip holds the first bit.
//
// operand says which value order text has in place of the field itself, such as
// the target of a jump in place of its distance:
//
//	order     jump-near d
//	  pattern 1011 100 ddddddddddd
//	  operand d as P + sign(d, 15)
//	  does    P <- P + sign(d, 15)
//	  check   "1011 100 11111111111" reads "jump-near 00000"
//	  check   P = 100 : P = 100
//
// mode names the modes whose lines are done before the order's own. must states
// what the handbook says has to be so; a run reports where it is not:
//
//	order     step-up n, i a
//	  pattern 0111 nn i aaaaaaaaaaa
//	  mode    reached
//	  must    n /= 0
//	  does    store[at] <- store[at] + extend(n, 18)
//
// does holds the lines of what the order does, the first beside it or below it.
// They go on to the next clause or statement. does alone is for an order that does
// nothing:
//
//	order     no-effect
//	  pattern 0000 0000 **********
//	  does
//
// unknown stands in place of does where the page cannot be read. The word still
// reads as this order; a run stops there and says so:
//
//	order     search-list            page 3-30 ?
//	  pattern 0111 111 ***********
//	  unknown
//
// cost is the number of cycles, 1 where nothing is said. check keeps a worked
// example in the file: what a word reads as in order text, as if it stood at
// address 0; or what stands in registers and store before and after the order.
// Such an order is the word of the reads line above it, which an order without
// fields can do without. It stands where the line sets the order counter, else in
// the first place that the line leaves alone. Registers and store that the line
// does not set hold anything:
//
//	order     clear-b
//	  pattern 0000 0001 **********
//	  does    B <- 0
//	  cost    2
//	  check   "0000 0001 0000000000" reads "clear-b"
//	  check   B = 17, store[12] = 3 : B = 0, store[12] = 3
//
// Two orders must not read the same word, unless one of them says in except that
// it yields to the other:
//
//	order     load r, a
//	  pattern 0001 rr aaaa ********
//	  except  clear-all, clear-b
//	  does    r <- store[extend(a, 15)]
//
// each types one order for several, one for each value of a letter. The order's
// name has a * for the word of each; in pattern the letter stands for the bits, in
// what the order does for the value in brackets. Several each lines go with as
// many stars, and make an order of every pair:
//
//	order     jump-* d
//	  pattern 1100 cc dddd ********
//	  each    c: 00 zero = (zero = 1), 01 not-zero = (zero = 0)
//	  does    if c then P <- P + extend(d, 15)
//
// Below an order the clauses may stand in any order, but mode before does or
// unknown: after one of them, a mode line begins a statement. does, unknown and
// cost stand once.
//
// undefined says what a group of words does that no order reads, with a pattern
// and, in quotes, what the handbook says. Where there is no does, or no group,
// such a word springs the trap undefined; a does alone lets it pass without
// effect:
//
//	undefined 0110 1*************  "acts as clear-b" page 3-40
//	  does    B <- 0
//	  cost    2
//	undefined 0110 0*************
//	  does
//
// # Modes
//
// mode holds lines that many orders share, mostly the way they find an address.
// The names that it gives with let are then known in the order:
//
//	mode      reached                page 3-2
//	  does    let at = page:a
package syntax
