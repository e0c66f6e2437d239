// Package plant is the exchange around the control processors: a network of
// latching crosspoints behind a pulser, a scanner, digit receivers, ringing and
// tones, trunks, and the people at lines and far ends, who do what a traffic list
// says.
//
// What the processors reach of it are ports, each at a channel of its own, named
// in the office list. Nothing can be read back from the network: the plant keeps
// which crosspoints were commanded, when and by which half, and what was never
// commanded stays unknown. The plant is worked out when it is asked, from what it
// was told and when, and never before; a copy told the same comes to the same.
//
// # Devices of an exchange
//
// What follows the kind are names with their values, in any order; what is left
// out has the value shown here, but for map. Numbers are decimal, but the address
// of the map, which is as the machine file writes one:
//
//	device PU1 pulser frames 1 concentrators 30 pulse 3 ms lines 412 map 032500
//	device SN1 scanner
//	device RC1 receivers 4 at 464
//	device TN1 tones
//	device TR1 trunks 38 at 416
//
// A frame of the network has that many concentrators, each of 16 terminals and 8
// links; link k of each goes to middle switch k, where 8 junctors join links.
// Lines stand at the terminals from 0 on, trunks and receivers at those from at
// on. There are 1 to 16 frames.
//
// The pulser takes words to send, one at a time; sign 0 is up while it is free.
// Bit 17 releases a crosspoint, else it is set. Bit 16 up: link k, bits 14-12, of
// concentrator c, bits 11-3, to junctor j of middle switch k, bits 2-0. Bit 16
// down: terminal t, bits 15-3, to link k of its concentrator, bits 2-0. What is
// sent while a pulse goes on is lost.
//
// The scanner is sent a row, and gives the 16 scan points of that row, bit i for
// terminal 16 times the row and i: 1 where the loop of a line is closed, or the
// far end of a trunk has seized it or answered.
//
// The receivers are sent which one is meant; it gives 0, or a digit in bits 4-0,
// 10 for a dialled 0, 11 and 12 for * and #, 13 to 16 for A to D. Bit 5 says that
// digits were lost while this one waited. Sign 0 is up while any has a digit. A
// digit is two tones (ITU-T Q.23) and is taken by the limits of Q.24.
//
// Tones are sent a terminal in bits 12-0, and what is on it from now on in bits
// 17-13: 0 nothing, 1 dial tone, 2 ring-back, 3 busy tone, 4 reorder tone, 5
// ringing.
//
// Trunks are sent a trunk in bits 8-0. Bit 9 up seizes it, and with a digit from 1
// to 10 in bits 13-10 passes that on; bit 9 down releases it.
//
// map is where the program keeps its own map of idle links: a word a concentrator,
// bit k a one while link k is idle.
//
// # Traffic lists
//
// A traffic list is an evening by the clock: who calls whom, what is typed, and
// what should be printed. Times are decimal, from power-up, and in order; numbers
// of lines and trunks are as the machine file writes numbers, digits as dialled:
//
//	call at 60.5 s from line 005 dials 288 answers 4 s talks 20 s ends caller
//	call at 61 s from trunk 03 dials 150 waits 10 s tone 50 ms pause 50 ms off 0 %
//	call at 62 s from line 006 dials 150 level -10 dBm twist 0 dB
//	call at 63 s from line 102 dials 9200 answers never
//	type at 80 s on TT1 "LINE 017 CLASS 3"
//	expect on TT1 "WENDLE FERRY UP" before 60 s
//
// What is left out of a call has the value shown above. A caller waits for dial
// tone, thinks half a second, dials, and waits for an answer; busy or reorder tone
// is hung up on after two seconds. Who is called answers so long after ringing
// begins, and one of the two hangs up first, the other a second later. A path that
// breaks while they talk has cut them off. off says by how many percent the tones
// of a caller are too high, level how strong the low one is, and twist how many dB
// the high one is above it. A line typed is followed by a carriage return.
package plant
