// Package template makes order text that does a march test, from a template that a team writes once for its machine.
//
// # Templates
//
// A template is order text in pieces. A line `piece NAME` begins one; what stands before the first piece is remarks. The
// tool writes the pieces of a test one after the other, as often as they are needed:
//
//	blocks      the lines `block NUMBER, ADDRESS, COUNT` of a recording, if there is to be one
//	head        once: where the text stands, and what is done first
//	up          for each element that goes up, or either way: begin with the first address
//	down        for each element that goes down: begin with the last address
//	w0          write the background, at the address at hand
//	w1          write its complement
//	r0          read, and note a failure where it is not the background
//	r1          read, and note a failure where it is not the complement
//	up-end      for each element begun by up: the next address, and round again
//	down-end    for each element begun by down: likewise
//	tail        once: the next background, and round again; then what is done last, and routines
//	background  for each background, where the text has room for a table of them
//	pad         `piece pad ADDRESS`: for each word that is missing up to that address, as blocks want it
//	findings    what is left in store: lines of a label and what stands there
//
// blocks, background, pad and findings may be left out. In all pieces but findings, what stands in braces is filled in:
//
//	{first} {last}      the first and the last address of the store to be tested
//	{background}        the background: in background and r0, w0 alike the machine has it from the table
//	{backgrounds}       how many there are
//	{element}           the number of the element, from 1: it makes labels differ
//	{op}                the number of the operation in the whole test, from 1
//	{operations}        how many there are
//	{test}              the test in its notation, for a remark
//
// Numbers are written in the machine's radix. A template for a machine that steps an address in A and has room for one
// background might have these, beside others:
//
//	piece up
//	        load A, first-at
//	up-{element}:
//	piece r0
//	        skip-if-like {background}
//	        jump wrong-{op}
package template

import (
	_ "embed"

	"coldstart/loader/list"
)

//go:embed doc.go
var doc string

// Manual gives the manual of templates: the package comment as plain text, examples set in by four blanks.
func Manual() string { return list.Manual("template", doc) }
