// Package list is the one reader and writer of list files, the plain notation a team keeps its office in.
//
// A list is a text file of records, one a line. A record is words separated by blanks; the first word usually says what
// the record is about, and the package that owns that meaning parses the rest. Everything from a # to the end of the line
// is a comment. A word that holds a blank, a # or a letter outside plain ASCII is put in double quotes, in which \" is a
// quote and \\ a backslash; there are no other escapes. A record that is long goes on in the next line where a line's last
// word is a backslash by itself.
//
//	# the office at Wendle Ferry
//	office   "Wendle Ferry"
//	machine  ours.machine
//	tape     TC1 gp-1.tape "GP-1, spring copy"
//
// Tabs count as blanks, a carriage return before the line end is passed over, and so is a byte order mark at the very
// start, because these come with borrowed editors and mean nothing. Whatever could mislead a reader's eye is refused with
// its place: control characters, letters that only look like plain ones (a pasted dash, a Cyrillic O), text that runs
// right to left. So are files over 16 MB, over 1,000,000 words, and lines over 4,000 bytes.
package list

import "go/token"

// Limits of a list file. They keep a mistaken file name from costing more than a moment.
const (
	maxFile  = 16 << 20  // bytes
	maxLine  = 4000      // bytes of one line, its end not counted
	maxWords = 1_000_000 // words of one file
)

// A Record is one line of a list: at least one word.
type Record struct {
	Pos   token.Position // of its first word
	Words []Word
}

// A Word is one word of a record, its quotes and escapes taken off.
type Word struct {
	Text   string
	Pos    token.Position // column counted in bytes from 1
	Quoted bool           // it stood in quotes
}

// Name gives the first word of the record: what it is about.
func (r Record) Name() string { return r.Words[0].Text }

// Args gives the words after the first.
func (r Record) Args() []Word { return r.Words[1:] }
