// Package syntax reads the texts that this grammar derives, and no others.
//
// # Grammar
//
// The productions that begin with a small letter are single words, numbers or
// marks; blanks may stand between those of the others. Lines end in LF or CRLF.
// The grammar leaves out blank lines and comments. A name is a word other than
// and, else, if, not, or, then and xor. Text may hold any character that prints.
//
//	File       = { Statement } .
//	Statement  = Title | Numbers | WordSize | Address | Unit | Packing | Clock |
//	             Declares | Registers | Adder | Store | Protect | Mirror |
//	             PlugIn | Group | Choice | Order | Undefined | Mode | Trap |
//	             Interrupt | Timer | Boot | Duplex | Channel | Lamps .
//	Heading    = [ Sheet [ "replaces" Sheet ] ] End .
//	Sheet      = "page" page [ "issue" page ] .
//	End        = [ "?" ] newline .
//
//	Title      = ( "machine" | "issue" ) text Heading .
//	Numbers    = "numbers" Radix "," "bit" decimal "at" ( "right" | "left" )
//	             [ "," "groups" "of" decimal ] Heading .
//	Radix      = "octal" | "hexadecimal" | "decimal" | "binary" .
//	WordSize   = "word" Width "," ( ( "twos" | "ones" ) "complement" |
//	             "sign-magnitude" ) Heading .
//	Width      = decimal ( "bits" | "bit" ) .
//	Address    = "address" Width [ "," decimal "digits" ] Heading .
//	Unit       = "unit" Width "," ( "low" | "high" ) "end" "first" Heading .
//	Packing    = "orders" decimal "in" "a" "word" "," ( "left" | "right" )
//	             "first" Heading .
//	Clock      = "clock" Duration Heading .
//	Duration   = time ( "s" | "ms" | "us" | "ns" | "ps" ) .
//	Declares   = "declares" decimal "orders" [ "of" Drawing ] Heading .
//
//	Registers  = ( ( "register" Names ":" Width | Counter | Keys ) [ "," Held ]
//	             | "flip-flop" Names [ ":" Held ] ) Heading .
//	Held       = "plug-in" name .
//	Names      = name { "," name } .
//	Counter    = "counter" name ":" Width "," "holds" ( "next" | "this" )
//	             "order" .
//	Keys       = "keys" Names ":" Width "," "at" "start" Literal [ ","
//	             "inverted" ] .
//	Adder      = "adder" Held Heading .
//
//	Store      = "store" Area { "," Area } [ ":" Width ] Heading [ "wired" End ]
//	             [ "inverted" End ] { Parity } { CheckBit } [ "corrects" "once"
//	             End ] { Chips } .
//	Area       = name Range .
//	Range      = number [ "-" number ] .
//	Parity     = "parity" Column [ Counted ] { "," Column [ Counted ] } End .
//	Column     = name ( "odd" | "even" ) "over" Bits .
//	Counted    = "and" "address" .
//	CheckBit   = "check-bit" Column { Bits } [ Counted ] End .
//	Bits       = decimal [ "-" decimal ] .
//	Chips      = "chips" Row { "," Row } End .
//	Row        = chips "for" ( ( "bits" | "bit" ) Bits | name "parity" ) .
//	Protect    = "protect" ( Range | name ) "when" Value Heading .
//	Mirror     = "mirror" Range "when" Value "," "parity" ( "remade" | "copied"
//	             ) Heading .
//	PlugIn     = "plug-in" name text Heading .
//
//	Group      = "group" Entries Heading .
//	Choice     = "choice" Entries Heading .
//	Entries    = letter ":" Entry { "," Entry } .
//	Entry      = binary ( word | "-" ) .
//
//	Order      = "order" starred [ Operand { "," Operand } ] Heading { Pattern }
//	             { Each } { Except } { As } { Modes } { Must } [ Does |
//	             "unknown" End ] [ Cost ] { Check } .
//	Operand    = letter { letter } .
//	Pattern    = "pattern" Drawing { "/" Drawing } End .
//	Drawing    = bit { bit } .
//	Each       = "each" letter ":" Instead { "," Instead } End .
//	Instead    = binary word "=" "(" Value ")" .
//	Except     = "except" starred { "," starred } End .
//	As         = "operand" letter "as" Value End .
//	Modes      = "mode" Names End .
//	Must       = "must" Value End .
//	Cost       = "cost" decimal End .
//	Check      = "check" ( words "reads" text | Settings ":" Settings ) End .
//	Settings   = Setting { "," Setting } .
//	Setting    = Target "=" Literal .
//
//	Undefined  = "undefined" Drawing [ text ] Heading [ Does ] [ Cost ] .
//
//	Mode       = "mode" name Heading [ Does ] .
//	Trap       = "trap" name text Heading [ When ] [ Does ] .
//	When       = "when" Value End .
//	Interrupt  = "interrupt" name text Heading [ "level" decimal End ] [ When ]
//	             [ After ] [ Does ] .
//	After      = "after" decimal ( "orders" | "order" ) "of" name End .
//	Timer      = "timer" name ":" Duration "," "trap" name
//	             [ "," "early" Duration "trap" name ] [ "," Held ] Heading .
//	Boot       = "boot" Heading [ Does ] .
//	Duplex     = "duplex" name ":" "gap" Duration [ "," "gates" name { "and"
//	             name } ] [ "," "mate" name "after" Duration ] Heading [ Does ]
//	             .
//	Channel    = "channel" name ":" "code" Literal "," Width [ "," "at" number ]
//	             [ "," "signs" decimal ] [ "," "inverted" Senses ] [ "," "sets"
//	             Request { "and" Request } ] [ "," "steals" decimal ( "cycles" |
//	             "cycle" ) ] [ "," Held ] Heading .
//	Request    = name "by" "sign" Literal .
//	Senses     = Sense { "and" Sense } .
//	Sense      = "words" | "signs" | "sign" Literal .
//	Lamps      = "lamps" Range ":" ( "bits" | "bit" ) Bits "," [ "inverted" ","
//	             ] "plug-in" name Heading .
//
//	Does       = "does" ( End | Line ) { Line } .
//	Line       = Let | If | Repeat | Parts End .
//	Let        = "let" name "=" Value End .
//	If         = "if" Value ( Flat | Block ) .
//	Flat       = "then" Parts [ "else" Parts ] End .
//	Block      = End { Line } [ "else" End { Line } ] "end" End .
//	Repeat     = "repeat" decimal "times" [ "while" Value ] End { Line } "end"
//	             End .
//	Parts      = Part { ";" Part } .
//	Part       = Transfer | "halt" [ "for" "good" ] | "wait" Value | "spend"
//	             Value | "restart" name | "trap" name .
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
//	Indexed    = ( "store" | "wrong-parity" | "channel" | "command" | "sign" )
//	             "[" Value { "," Value } "]" .
//	Literal    = [ Radix ] number .
//
//	letter     = "A" … "Z" | "a" … "z" .
//	digit      = "0" … "9" .
//	word       = letter { [ "-" ] ( letter | digit ) } .
//	starred    = ( letter | "*" ) { [ "-" ] ( letter | digit | "*" ) } .
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
