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
// line is set in does not matter, nor do blank lines. Use blanks, never tabs.
// A # begins a comment that runs to the end of the line; a comment may hold any
// text that prints. Letters, digits and marks outside comments and quotes are plain
// ASCII: curly quotes, long dashes and letters of other alphabets are refused with
// their names. A line is at most 4,000 bytes long, a file 4 MB and 500,000 words and
// marks; brackets and blocks nest at most 200 deep.
//
// Two rules say when things happen, and everything rests on them. All transfers on
// one line happen together: every value on the line is read before anything is set.
// Lines happen in turn, each after the one above it. So this exchanges A and B:
//
//	order     swap
//	  pattern 1111 0000
//	  does    A, B <- B, A
//
// and this sets both to what B was:
//
//	order     level
//	  pattern 1111 0001
//	  does    A <- B
//	          B <- A
//
// A word is letters, digits and hyphens, beginning with a letter; small and capital
// letters differ. A hyphen inside a word is part of it: a-b is one word, so a minus
// between two names has blanks round it, a - b.
//
// A number begins with a digit; where it is hexadecimal, letters may follow: 0F.
// Numbers are in the style that the numbers line states, but these are always
// decimal: times, counts of bits, cycles, orders and repeats, bit numbers, and the
// width in extend, sign and cut. Patterns, words shown in checks, and the values in groups and
// choices are always binary. A word before a number in a value says how that number
// is meant instead: octal 17, decimal 10, binary 101, hexadecimal 0F.
//
// Text stands between straight quotes on one line and has no quote in it.
//
// A head line may end in the page of the handbook it was copied from, and in a ? when
// the typist is not sure of the statement. The page is carried into every listing,
// and the doubt into every result that it touches:
//
//	register  X1, X2: 18 bits        page 2-2 ?
//
// The words that begin lines are: address, boot, channel, check, chips, choice,
// clock, cost, counter, declares, does, else, end, flip-flop, group, halt, if, issue,
// lamps, let, machine, mode, must, numbers, operand, order, parity, pattern, plug-in,
// register, repeat, restart, spend, store, timer, trap, wait, when, wired and word.
// A register may be called by one of them all the same, since no such line goes on
// with <- or a comma, colon, point or square bracket. A line that begins with trap is
// a statement where text follows the name, else an action. The words and, else, if, not,
// or, then and xor build values, and only an order or a choice may be called so.
//
// # The machine as a whole
//
// machine names the machine, and issue the handbook it was copied from:
//
//	machine   "Millrace 8"
//	issue     "handbook, second printing"
//
// numbers states the style of numbers (octal, hexadecimal, decimal or binary), and
// from which end bits are counted, beginning with 0 or 1. Every message keeps to it:
//
//	numbers   hexadecimal, bit 1 at left
//
// word states the width of a word, and how negative numbers are written: twos
// complement, ones complement, or sign-magnitude:
//
//	word      8 bits, ones complement
//
// address states the width of an address and, where the handbook writes more digits
// than that needs, how many:
//
//	address   12 bits
//
//	address   15 bits, 6 digits
//
// clock states the time of one cycle in s, ms, us, ns or ps:
//
//	clock     2.5 us
//
// declares gives the number of orders that the handbook claims, to be held against
// the orders typed:
//
//	declares  74 orders
//
// # Registers
//
// register declares registers of one width, flip-flop registers of one bit. counter
// declares the order counter, and says what it holds while an order acts: the place
// of the next order, or of this order itself:
//
//	counter   P: 12 bits, holds next order
//	register  A, B: 8 bits           page 2-1
//	flip-flop minus, zero, carry
//
// # Store and plug-ins
//
// store declares areas of store, each the range of addresses of one plug-in, both
// ends counted. Several areas built alike share a statement. Where words of this
// store are not as wide as the machine's, the width follows:
//
//	store     ST0 000-377, ST1 400-777: 9 bits
//
// Three clauses may follow. wired says that the processor cannot write there. parity
// names each parity column and the bits it covers. chips says which chip holds which
// bit; a row of chips stands for a row of bits, the first for the first:
//
//	store     ST0 000000-007777, ST1 010000-017777
//	  parity  right odd over 8-0, left odd over 17-9
//	  chips   U01-U18 for bits 0-17, U19 for right parity, U20 for left parity
//	store     WS1 077400-077777
//	  wired
//	  chips   U01-U18 for bits 0-17
//
// plug-in names a plug-in that holds no store, so that faults in it have a place:
//
//	plug-in   AL1 "adder"
//
// # Names for the values of fields
//
// A field is the run of like letters in the pattern of an order. group says which
// register each value of a field means; the field then stands for that register in
// what orders do. choice says which word order text has for each value; - means that
// nothing is written:
//
//	group     r: 00 A, 01 B, 10 X1
//	choice    i: 0 -, 1 through
//
// # Orders
//
// order names one order and the operands its text has, in the order they are written.
// An operand is the letter of a field, or several side by side: i a is written
// through 12, or 12 alone where choice i says nothing. The name may be any word:
//
//	order     load r, i a            page 3-4
//	  pattern 0001 rr i aaaaaaaaaaa
//
// pattern is the drawing of the order's word, as the handbook has it, the highest bit
// first; blanks are for the eye. 0 and 1 are fixed bits, letters are fields, * is a
// bit that the machine ignores, and ? one on which the handbook is silent. An order
// of several words has a stroke between them, or a pattern line for each:
//
//	order     load-long r, v
//	  pattern 1111 0111 rr ******** / vvvvvvvvvvvvvvvvvv
//
// operand says which value order text has in place of the field itself, such as the
// target of a jump in place of its distance:
//
//	order     jump-near d
//	  pattern 1011 100 ddddddddddd
//	  operand d as P + sign(d, 15)
//	  does    P <- P + sign(d, 15)
//
// mode names the modes whose lines are done before the order's own. must states what
// the handbook says has to be so; a run reports where it is not:
//
//	order     step-up n, i a
//	  pattern 0111 nnn i aaaaaaaaaaa
//	  mode    reached
//	  must    n /= 0
//	  does    store[at] <- store[at] + extend(n, 18)
//
// does holds the lines of what the order does, the first beside it or below it. They
// go on to the next clause or statement. does alone is for an order that does nothing:
//
//	order     no-effect
//	  pattern 0000 0000
//	  does
//
// cost is the number of cycles, 1 where nothing is said. check keeps a worked example
// in the file: what a word reads as in order text, or what stands in registers and
// store before and after the order:
//
//	order     clear-b
//	  pattern 0000 0001
//	  does    B <- 0
//	  cost    2
//	  check   "0000 0001" reads "clear-b"
//	  check   B = 17, store[12] = 3 : B = 0, store[12] = 3
//
// Below an order the clauses may stand in any order, but mode before does: after a
// does, a mode line begins a statement. does and cost stand once.
//
// # Modes
//
// mode holds lines that many orders share, mostly the way they find an address. The
// names that it gives with let are then known in the order:
//
//	mode      reached                page 3-2
//	  does    let at = page:a
//
// # What orders do
//
// A transfer has targets, an arrow, and as many values. A target is a register, a
// flip-flop, store[address], channel[code], command[code], a name given with let, a
// field that a group makes a register, bits of any of these, or a join of them:
//
//	order     divide-step
//	  pattern 0110 0000
//	  does    A:B <- left(A:B, 1)
//	          B.0, carry <- carry, A.17
//
// Parts between semicolons happen together, as if they were one transfer. let names a
// value for the lines after it; it is a copy and stays when its sources change, and
// it may be set again by a transfer:
//
//	order     exchange a
//	  pattern 0110 aaaa
//	  does    let v = store[extend(a, 15)]
//	          store[extend(a, 15)] <- A; A <- v
//
// if on one line has then, and may have else; all the parts up to else are done or
// left. In block form the lines between are done in turn, and end closes it:
//
//	order     skip-if r
//	  pattern 0101 rr 00
//	  does    if r = 0 then P <- P + 1; zero <- 1 else zero <- 0
//	          if carry = 1
//	            carry <- 0
//	          else
//	            carry <- 1
//	            P <- P + 1
//	          end
//
// repeat does its lines again, never more often than it says; while ends it earlier,
// and is looked at before each time:
//
//	order     chase
//	  pattern 0101 0100
//	  does    let more = 1
//	          repeat 16 times while more = 1
//	            A, more <- store[A.14-0], A.17
//	            spend 1
//	          end
//
// The actions are halt, which stops the machine; wait, which stays in this order until
// a value is 1; spend, which adds cycles to the cost; restart, which starts a timer
// anew; and trap, which springs a trap and leaves the order at once:
//
//	order     listen c, g
//	  pattern 0100 cc gg
//	  does    if c = 3 then trap no-reply
//	          wait sign[c, g] = 1
//	          restart sanity
//	          spend 3
//	order     halt
//	  pattern 0100 1111
//	  does    halt
//
// # Values
//
// A value is a name, a number, or built from others. Each has a width in bits, known
// before anything runs; widths that do not fit are errors, never cut in silence.
// From the tightest to the loosest:
//
//   - x.17 is bit 17 of x, x.14-0 a run of bits. The numbers are decimal, counted as
//     the numbers line says. A pick is written close: x.3 - 1 takes 1 from bit 3
//   - x:y joins, x at the left
//   - x + y and x - y count, and drop what goes over the width; both widths are alike
//   - = /= < <= > >= compare without sign and give one bit; to compare the outcome of
//     a comparison, put brackets round it
//   - not x turns every bit over; not x = y is not (x = y)
//   - and, then xor, then or work bit by bit
//   - if c then x else y chooses; only the value chosen is read
//
// Operators of one line in this list are read from the left; brackets change that:
//
//	order     try a
//	  pattern 0011 aaaa
//	  does    A <- (A and not B) or (store[page:a] and B)
//	          A <- A xor (A:B).17-0
//	          zero <- A = 0 and not (B = octal 17 or carry = 1)
//	          B <- if minus = 1 then A.8-0:A.17-9 else B - A + 1
//
// store[a] is the word at address a, channel[c] what channel c gives or takes,
// command[c] a command to it, and sign[c, n] its sign n, one bit. here is the address
// of the order acting. The functions are:
//
//   - extend(x, n), sign(x, n): x made n bits wide with zeros, or with its top bit
//   - cut(x, n): the low n bits of x
//   - left(x, n), right(x, n): x moved by n places, zeros drawn in
//   - draw(x, n): x moved right, its top bit drawn in
//   - rotate-left(x, n), rotate-right(x, n): x turned by n places
//   - leading(x), trailing(x): how many zeros stand left, or right, of the outermost
//     one; the width of x where x is 0
//   - ones(x): how many ones
//   - parity(x): 1 where the number of ones is odd
//   - add(x, y), add(x, y, c): the sum in the machine's complement, with a carry in
//   - subtract(x, y): the difference in the machine's complement
//   - carry(x, y), carry(x, y, c): the carry out of such a sum
//   - overflow(x, y), overflow(x, y, c): 1 where its sign is wrong
//   - less(x, y): 1 where x is below y, both with sign
//
// # Traps, timers and start-up
//
// trap says what the machine does at an event inside it. The machine itself springs
// parity, undefined, no-reply and protected; an order or a timer springs the others.
// With when, the trap happens only where that value is 1:
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
// boot says what start-up sets; whatever it does not name is unknown at power-up:
//
//	boot
//	  does    P, page <- 77400, 0
//	          restart sanity
//
// # Channels and lamps
//
// channel names a channel, its code in orders, and the width of what it carries:
//
//	channel   TC1: code 1, 18 bits   page 5-2
//
// lamps says which store words light lamps, with which bits, through which plug-in:
//
//	lamps     000760-000763: bits 15-0, plug-in LD1
//
// # Grammar
//
// The productions that begin with a small letter are single words, numbers or marks;
// blanks may stand between those of the others. Lines end in LF or CRLF. The grammar
// leaves out blank lines and comments. A name is a word other than and, else, if, not,
// or, then and xor. Text may hold any character that prints.
//
//	File       = { Statement } .
//	Statement  = Title | Numbers | WordSize | Address | Clock | Declares | Registers | Store | PlugIn |
//	             Group | Choice | Order | Mode | Trap | Timer | Boot | Channel | Lamps .
//	Heading    = [ "page" page ] [ "?" ] newline .
//
//	Title      = ( "machine" | "issue" ) text Heading .
//	Numbers    = "numbers" Radix "," "bit" decimal "at" ( "right" | "left" ) Heading .
//	Radix      = "octal" | "hexadecimal" | "decimal" | "binary" .
//	WordSize   = "word" Width "," ( ( "twos" | "ones" ) "complement" | "sign-magnitude" ) Heading .
//	Width      = decimal ( "bits" | "bit" ) .
//	Address    = "address" Width [ "," decimal "digits" ] Heading .
//	Clock      = "clock" Duration Heading .
//	Duration   = time ( "s" | "ms" | "us" | "ns" | "ps" ) .
//	Declares   = "declares" decimal "orders" Heading .
//
//	Registers  = ( "register" Names ":" Width | "flip-flop" Names | Counter ) Heading .
//	Names      = name { "," name } .
//	Counter    = "counter" name ":" Width "," "holds" ( "next" | "this" ) "order" .
//
//	Store      = "store" Area { "," Area } [ ":" Width ] Heading [ "wired" newline ] { Parity } { Chips } .
//	Area       = name Range .
//	Range      = number [ "-" number ] .
//	Parity     = "parity" Column { "," Column } newline .
//	Column     = name ( "odd" | "even" ) "over" Bits .
//	Bits       = decimal [ "-" decimal ] .
//	Chips      = "chips" Row { "," Row } newline .
//	Row        = chips "for" ( ( "bits" | "bit" ) Bits | name "parity" ) .
//	PlugIn     = "plug-in" name text Heading .
//
//	Group      = "group" Entries Heading .
//	Choice     = "choice" Entries Heading .
//	Entries    = letter ":" Entry { "," Entry } .
//	Entry      = binary ( word | "-" ) .
//
//	Order      = "order" word [ Operand { "," Operand } ] Heading
//	             { Pattern } { As } { Modes } { Must } [ Does ] [ Cost ] { Check } .
//	Operand    = letter { letter } .
//	Pattern    = "pattern" Drawing { "/" Drawing } newline .
//	Drawing    = bit { bit } .
//	As         = "operand" letter "as" Value newline .
//	Modes      = "mode" Names newline .
//	Must       = "must" Value newline .
//	Cost       = "cost" decimal newline .
//	Check      = "check" ( words "reads" text | Settings ":" Settings ) newline .
//	Settings   = Setting { "," Setting } .
//	Setting    = Target "=" Literal .
//
//	Mode       = "mode" name Heading [ Does ] .
//	Trap       = "trap" name text Heading [ "when" Value newline ] [ Does ] .
//	Timer      = "timer" name ":" Duration "," "trap" name Heading .
//	Boot       = "boot" Heading [ Does ] .
//	Channel    = "channel" name ":" "code" Literal "," Width Heading .
//	Lamps      = "lamps" Range ":" ( "bits" | "bit" ) Bits "," "plug-in" name Heading .
//
//	Does       = "does" ( newline | Line ) { Line } .
//	Line       = Let | If | Repeat | Parts newline .
//	Let        = "let" name "=" Value newline .
//	If         = "if" Value ( Flat | Block ) .
//	Flat       = "then" Parts [ "else" Parts ] newline .
//	Block      = newline { Line } [ "else" newline { Line } ] "end" newline .
//	Repeat     = "repeat" decimal "times" [ "while" Value ] newline { Line } "end" newline .
//	Parts      = Part { ";" Part } .
//	Part       = Transfer | "halt" | "wait" Value | "spend" Value | "restart" name | "trap" name .
//	Transfer   = Target { "," Target } "<-" Value { "," Value } .
//	Target     = Place { ":" Place } .
//	Place      = ( name | Indexed ) { pick } .
//
//	Value      = "if" Value "then" Value "else" Value | Or .
//	Or         = Xor { "or" Xor } .
//	Xor        = And { "xor" And } .
//	And        = Not { "and" Not } .
//	Not        = "not" Not | Comparison .
//	Comparison = Sum [ ( "=" | "/=" | "<" | "<=" | ">" | ">=" ) Sum ] .
//	Sum        = Join { ( "+" | "-" ) Join } .
//	Join       = Picked { ":" Picked } .
//	Picked     = Single { pick } .
//	Single     = Literal | name | Call | Indexed | "(" Value ")" .
//	Call       = name "(" Value { "," Value } ")" .
//	Indexed    = ( "store" | "channel" | "command" | "sign" ) "[" Value { "," Value } "]" .
//	Literal    = [ Radix ] number .
//
//	letter     = "A" … "Z" | "a" … "z" .
//	digit      = "0" … "9" .
//	word       = letter { [ "-" ] ( letter | digit ) } .
//	name       = word .
//	decimal    = digit { digit } .
//	number     = digit { digit | "A" … "F" | "a" … "f" } .
//	binary     = ( "0" | "1" ) { "0" | "1" } .
//	time       = decimal [ "." decimal ] .
//	pick       = "." decimal [ "-" decimal ] .
//	bit        = "0" | "1" | letter | "*" | "?" .
//	chips      = chip [ "-" chip ] .
//	chip       = letter { letter | digit } .
//	page       = word | digit { letter | digit | "-" | "." | "/" } .
//	text       = "\"" { " " … "!" | "#" … "~" } "\"" .
//	words      = "\"" binary { " " binary } { "/" binary { " " binary } } "\"" .
//	newline    = "\n" .
package syntax
