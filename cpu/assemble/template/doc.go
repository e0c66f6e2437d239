// Package template makes order text that does a march test, from a template that a team writes once for its machine.
//
// # Templates
//
// A template is order text in pieces. A line `piece NAME` begins one; what stands before the first piece is remarks. The
// tool writes the pieces of a test one after the other, as often as they are needed:
//
//	blocks      first of all the `block` lines of a recording, if there is one
//	head        where the text stands, and what is done first
//	up          begins an element that goes up, or either way
//	down        begins an element that goes down
//	w0          writes the background at the address at hand
//	w1          writes its complement
//	r0          reads, and notes a failure where it is not the background
//	r1          reads, and notes a failure where it is not the complement
//	up-end      ends what up began: the next address, and round again
//	down-end    ends what down began
//	tail        the next background, and round again; then routines
//	background  for each background, as in a table of them
//	pad         for each word missing up to the address in `piece pad ADDRESS`
//	findings    what is left in store: lines of a label and what stands there
//
// blocks, background, pad and findings may be left out. In all pieces but findings, what stands in braces is filled in,
// numbers in the machine's radix:
//
//	{first} {last}  the first and the last address of the store to be tested
//	{background}    the background, in the piece of that name
//	{backgrounds}   how many there are
//	{element}       the number of the element, from 1: it makes labels differ
//	{op}            the number of the operation in the whole test, from 1
//	{operations}    how many there are
//	{test}          the test in its notation, for a remark
//
// A finding named `done` is 1 when the test has come to its end. The words of a block have to be there, one and all: what
// `pad` holds takes one word, and is written as often as it takes. These pieces are of the training office, whose template
// is brindlecote.march:
//
//	piece up
//	        load X1, low-end
//	up-{element}:
//
//	piece w1
//	        copy A, X2
//	        store-at X1, 0
//
//	piece up-end
//	        restart-timer
//	        compare X1, high-end
//	        jump-zero after-{element}
//	        add-small X1, 1
//	        jump up-{element}
//	after-{element}:
package template
