// Package march holds the march tests of published fame, says what each of them would have caught, and runs them against a
// store.
//
// # Notation
//
// A march test is a row of elements, each a direction and the operations done on one cell before going on to the next:
//
//	either(w0); up(r0,w1); down(r1,w0)
//
// up goes through the addresses from the lowest, down from the highest; either leaves the choice to who runs the test (Run
// goes up). w0 and w1 write, r0 and r1 read and expect the value. The length of a test is its operations for each cell.
//
// # What a fault is
//
// A fault is described by what makes it show, written as fault primitives <S/F/R> and <Sa;Sv/F/R>, the notation of the
// field. S is a state (0, 1) or an operation on a cell in a state: 0w1 writes 1 to a cell that holds 0, 0r0 reads a cell
// that holds 0. Sa is of an aggressor, Sv of the victim. When S comes about, the victim holds F after it, and a read that
// is S itself gives R. Whatever is not said is as in a good memory. All S are judged by what the cells held before the
// operation. A primitive without an operation holds at all times: as soon as the cells are so, the victim is made F. With
// x, y and s standing for 0 and 1 in turn, and ! for the other one:
//
//	SAF      <!x/x/->               stuck-at: it is always x
//	TF       <xw!x/x/->             transition: it does not leave x
//	WDF      <xwx/!x/->             write disturb: a write of what it holds turns it round
//	RDF      <xrx/!x/!x>            read destructive: a read turns it round and gives the new value
//	DRDF     <xrx/!x/x>             deceptive read destructive: a read turns it round and gives the old value
//	IRF      <xrx/x/!x>             incorrect read
//	CFin     <xw!x;0/1/-> and <xw!x;1/0/-> both    inversion coupling
//	CFid     <xw!x;!y/y/->          idempotent coupling: the aggressor's change makes it y
//	CFst(p)  <s;!y/y/->             state coupling: while the aggressor holds s it is made y, and stays so
//	CFst(t)  <s;!yr!y/!y/y>         the same, but only reads are wrong, and only while the aggressor holds s
//	CFds     <xrx;y/!y/-> <xw!x;y/!y/-> <xwx;y/!y/->    disturb coupling by the three operations
//	CFtr CFwd CFrd CFdrd CFir       TF, WDF, RDF, DRDF and IRF, but only while the aggressor holds s
//
// Read so, CFst(t) and CFir are the same four conditions, and CFds by xw!x the same as CFid.
//
// Two models are not of this form. SOF, stuck-open: the cell is not reached; a write is lost, and a read repeats the value
// that was last read of any cell, which is 0 or 1 at the start. AF, address decoder, of two addresses x and y:
//
//	A  x reaches no cell, and cell x has no address
//	B  x reaches no cell, and y reaches cells x and y
//	C  x reaches cell y as y does, and cell x has no address
//	D  x reaches cells x and y, and y reaches cell y
//
// A write goes to all cells that are reached; a read of two gives their OR or their AND, a read of none 0 or 1; each way is
// a variant of its own.
//
// Linked faults are two faults with the same victim, of which one can undo the other: CFid#CFid is two CFid that force
// opposite values, of two aggressors, or of one by its two changes; CFin#CFin is any two CFin of two aggressors, or the two
// of one; TF#CFin and TF#CFid are a TF of the victim and any coupling. They are counted at every place they can have, and,
// but for the two CFin of one aggressor, once for either order of the two: this reading alone gives the published totals.
//
// # Readings
//
// Where the published words leave room, these readings give the published numbers. The value that a stuck-open cell repeats
// comes from reads alone: if writes to other cells left one too, MATS+ and X, among others, would detect SOF, and they are said
// not to. CFst(p) acts on a victim that is written while the aggressor holds s: else MSCAN would detect none of it. In AF D
// address y reaches its own cell alone: else MATS would detect all of it. That linked CFid force opposite values, and that each
// two are counted in both orders, follows from the totals: Y detects 112 of 192 so, and 240 of 384 if equal values were linked
// too. The numbers do not tell what a stuck-open cell gives before anything was read, so both are tried.
//
// # What detected means
//
// A variant of a kind is one choice of x, y and s, and for two cells of which lies at the lower address. A test detects it
// if a read expects another value than it gets, wherever in a memory of some cells the fault lies, whatever the cells held
// at first, and whichever way each either is taken. Cover works this out by trying all of it; nothing is looked up.
package march
