// Package channel holds the devices around a machine as the machine sees them: a
// tape drive, a teletypewriter at the end of its line, a tick clock, and the lamp
// driver. A Rack puts them at channel codes and is the cpu.Ports of a machine.
//
// Nothing here runs by itself. The state of a device at a time follows from what
// it was told and when, and is worked out only when it is asked for; there is no
// queue of events. A Rack can therefore be cloned at any moment, and the clone,
// told the same, answers the same.
//
// # Device records
//
// The office list has a line for each device, with the channel it stands at. What
// follows the kind are names with their values, in any order; what is left out has
// the value shown here, but for direct and locked, which a drive then has not.
// Numbers are in the machine's own style, baud and units in decimal:
//
//	device TC1 tape word 125 us gap 15375 us start 5 ms stop 3 ms back 60 ms rewind 10 ms
//	device TC1 tape command forward 1 command stop 2 command back 3 command rewind 4
//	device TC1 tape sign ready 0 sign gap 1 sign end 2 sign late 3 sign moving 4
//	device TC1 tape command direct 5 sign locked 5 lock on
//	device TT1 teletypewriter baud 110 units 11 parity none code ascii typed 5
//	device CK1 clock period 8 ms
//
// A tape drive gives a word to receive while sign ready is up; one that is not
// taken before the next comes is lost, and sign late says so. Commands move it. A
// drive that has a number for command direct, on a channel that steals cycles,
// passes over the next block and puts its words into store, mark, header and sum
// too, from the address on that was sent to it last; it comes to rest behind the
// block, and sign ready is up then, for how many words there were. Sign locked is
// up while a tape is seated that cannot be written on, unless lock is off.
//
// A teletypewriter is the far end of a serial channel. Sign 0 is up while it can
// print a character that is sent, and the sign that typed names while one that was
// typed waits to be received; one that is not taken before the next comes is lost.
// Codes are ascii, ita2 (CCITT S.1, international figures) and ita2-american; with
// those of five units a character has 7.5 units where nothing else is said. Parity
// is even, odd or none.
//
// A clock ticks from power-up on; sign 0 is up when it has ticked since the last
// receive, which gives how often.
//
// # Codes of teletypewriters
//
// A machine may speak a code of its own. A line codes FILE in the office list
// names a list of such, and a device then takes one by its name. A code has 5 to 8
// units; where it has a shift, a line says which codes shift, and figures are a
// second table. A line of characters begins with the code of its first, in
// decimal, and the others follow it by one each. NUL, LF, CR, SP, BEL and WRU are
// written so, and none where a code means nothing:
//
//	code    works-five units 5
//	shift   letters 31 figures 27
//	letters 0  NUL E LF A SP S I U CR D R J N F C K
//	letters 16 T Z L W H Y P Q O B G none M X V none
//	figures 0  NUL 3 LF - SP none 8 7 CR none 4 none , none : (
//	figures 16 5 + ) 2 none 6 0 1 9 none none none . / = none
package channel
