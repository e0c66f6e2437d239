package plan

// A Form says what a fused step does.
type Form uint8

// The forms that the table below makes of several flat steps.
const (
	FormUnbound Form = iota // no order is known to stand here
	FormLoadNote
	FormStoreAdd
	FormStoreTake
	FormStoreAnd
	FormStoreOr
	FormStoreXor
	FormStoreCompare
	FormStepUp
	FormStepDown
	FormGoStore
	FormLoadMove
	FormLoad
	FormStore
	FormAddNote
	FormTakeNote
	FormSubtractNote
	FormCompare
	FormAndNote
	FormOrNote
	FormXorNote
	FormNotNote
	FormMoveNote
	FormLeftNote
	FormRightNote
	FormDrawNote
	FormTurnNote
	FormTurnBackNote
	FormNote
	FormGoCount
	FormGoEqual
	FormGoUnequal
	FormGoBelow
	FormGoAtMost
	FormGoLess
	FormGoNotLess
	FormGoBit
	FormFindClear
	FormFind
	FormGoReach
	FormPlusMove
	FormMinusMove
	FormAndMove
	FormOrMove
	FormXorMove
	FormLeftMove
	FormRightMove
	FormDrawMove
	FormLessMove
	FormBelowMove
	FormLink
	FormSwap
	FormMerge
	FormTurn
	FormTurnBack
	FormMove3
	FormMove2
	FormAdd
	FormCarry
	FormSubtract
	FormLess
	FormNot
	FormLeft
	FormRight
	tabled
)

// The forms that stand for one flat step.
const (
	FormGo Form = tabled + iota
	FormGoTo
	FormMove
	FormPlus
	FormMinus
	FormAnd
	FormOr
	FormXor
	FormEqual
	FormUnequal
	FormBelow
	FormAtMost
	FormBits
	FormJoin
	FormPut
	FormCompute
	FormUnless
	FormCount
	FormLoadPart
	FormStorePart
	FormFetch
	FormSkip
	FormSpend
	FormGiveWay
	Forms // how many there are
)

// plain are the pictures of the forms that stand for one flat step.
var plain = [Forms]string{
	FormUnbound:   "no order is known to stand here",
	FormGo:        "on at slot K",
	FormGoTo:      "on at the place that A moved right N places is, within M",
	FormMove:      "D <- A",
	FormPlus:      "D <- A + B, within M",
	FormMinus:     "D <- A - B, within M",
	FormAnd:       "D <- A and B",
	FormOr:        "D <- A or B",
	FormXor:       "D <- A xor B",
	FormEqual:     "D <- 1 if A = B, else 0",
	FormUnequal:   "D <- 1 if A /= B, else 0",
	FormBelow:     "D <- 1 if A < B, else 0",
	FormAtMost:    "D <- 1 if A <= B, else 0",
	FormBits:      "D <- A moved right N places, within M",
	FormJoin:      "D <- A moved left N places, or B",
	FormPut:       "D <- D with the bits of M replaced by A moved left N places",
	FormCompute:   "D <- what flat op J makes of A, B and C",
	FormUnless:    "on at step K if A is 0",
	FormCount:     "D <- D - 1, or on at step K if D is 0 already",
	FormLoadPart:  "D <- N bits of store from unit A on",
	FormStorePart: "N bits of store from unit A on <- B",
	FormFetch:     "the K words of the order are read once more, since somebody counts it",
	FormSkip:      "nothing",
	FormSpend:     "A more cycles",
	FormGiveWay:   "the flat steps from here on are done instead",
}

// Picture is what a step of the form does: the flat steps it stands for, as the table of forms has them.
func (f Form) Picture() string {
	if f > FormUnbound && f < tabled {
		return table[f]
	}
	return plain[f]
}

// table is the flat steps that a fused step stands for, one after the other; at its end stand steps that by themselves are
// better done here than by Compute, since their complement or their width is known.
//
// A step is written as its op and its places: D, then those of A, B and C it reads. A capital is the place of that name in
// the fused step, a small letter a scratch place that nothing reads later, #0 and #1 are these constants, #K is a constant
// of any value that becomes K, and P is where the address of the next order goes. n= and m= say what N and M must be: sign
// (any bit, which becomes N), width (bits; N is one less), mask (of that width), moved (any, which becomes J), reach (any,
// which becomes M), word (the mask of a word of store), or a number. What is not said does not matter.
//
//	reach t   t is the address A moved left J places, and K, within M, however it came about
//	note D    E <- bit N of D; F <- 1 if D is zero, else 0
//	go        to slot K unless the value x is 0; #T is the address that the slot has
//	unless x  the steps that follow are not done if x is 0
//
// A form may have several of these, with a bar between them. The table is searched from the top: longer forms come before
// their parts.
var table = [tabled]string{
	FormLoadNote: "reach t; load D t m=word; note D",
	FormStoreAdd: "reach t; load v t m=word; carry G D v C n=width; add D D v C n=width m=mask; note D |" +
		"reach t; load v t m=word; carry w D v C n=width; add D D v C n=width m=mask; move G w; note D",
	FormStoreTake:    "reach t; load v t m=word; not w v n=width m=mask; carry G D w #1 n=width; subtract D D v n=width; note D",
	FormStoreAnd:     "reach t; load v t m=word; and D D v; note D",
	FormStoreOr:      "reach t; load v t m=word; or D D v; note D",
	FormStoreXor:     "reach t; load v t m=word; xor D D v; note D",
	FormStoreCompare: "reach t; load v t m=word; not w v n=width m=mask; carry G B w #1 n=width; less E B v n=width; equal F B v",
	FormStepUp:       "reach t; load v t m=word; add w v B #0 n=width; reach u; store u w; note w",
	FormStepDown:     "reach t; load v t m=word; subtract w v B n=width; reach u; store u w; note w",
	FormGoStore:      "reach t; load v t m=word; bits P v n=0 m=reach",
	FormLoadMove:     "reach t; load D t m=word; move E C",
	FormLoad:         "reach t; load D t m=word",
	FormStore:        "reach t; store t B",
	FormAddNote: "carry G A B C n=width; add D A B C n=width m=mask; note D |" +
		"carry w A B C n=width; add D A B C n=width m=mask; move G w; note D",
	FormTakeNote:     "not t B n=width m=mask; carry G A t #1 n=width; subtract D A B n=width; note D",
	FormSubtractNote: "subtract D A B n=width; note D",
	FormCompare:      "not t B n=width m=mask; carry G A t #1 n=width; less E A B n=width; equal F A B",
	FormAndNote:      "and D A B; note D",
	FormOrNote:       "or D A B; note D",
	FormXorNote:      "xor D A B; note D",
	FormNotNote:      "not D A n=width m=mask; note D",
	FormMoveNote:     "move D A; note D",
	FormLeftNote:     "left D A B n=width; note D",
	FormRightNote:    "right D A B; note D",
	FormDrawNote:     "draw D A B n=width; note D",
	FormTurnNote:     "turn D A B n=width; note D",
	FormTurnBackNote: "turn-back D A B n=width; note D",
	FormNote:         "note D",
	FormGoCount:      "subtract D A B n=width; unequal x D C; go",
	FormGoEqual:      "equal x A B; go",
	FormGoUnequal:    "unequal x A B; go",
	FormGoBelow:      "below x A B; go",
	FormGoAtMost:     "at-most x A B; go",
	FormGoLess:       "less x A B n=width; go | less y A B n=width; equal x y #1; go",
	FormGoNotLess:    "less y A B n=width; not x y m=1; go",
	FormGoBit:        "bits y A n=sign m=1; equal x y B; go",
	FormFindClear: "move v A; equal F v #0; unequal x v #0; unless x; leading y v n=width; right z B y n=width; xor D v z;" +
		"leading q v n=width; minus E C q m=mask",
	FormFind:      "equal F A #0; unequal x A #0; unless x; leading y A n=width; minus D B y m=mask",
	FormGoReach:   "join P A #K n=moved m=reach",
	FormPlusMove:  "plus D A B m=reach; move E C",
	FormMinusMove: "minus D A B m=reach; move E C",
	FormAndMove:   "and D A B; move E C",
	FormOrMove:    "or D A B; move E C",
	FormXorMove:   "xor D A B; move E C",
	FormLeftMove:  "left D A B n=width; move E C",
	FormRightMove: "right D A B; move E C",
	FormDrawMove:  "draw D A B n=width; move E C",
	FormLessMove:  "less D A B n=width; move E C",
	FormBelowMove: "below D A B; move E C",
	FormLink:      "move D A; move P #T; move E C",
	FormSwap:      "move v A; move E B; move D v",
	FormMerge:     "not t B n=width m=mask; and u A t; and v C B; or D u v | not t B n=width m=mask; and u A t; and v B C; or D u v",
	FormTurn:      "turn D A B n=width",
	FormTurnBack:  "turn-back D A B n=width",
	FormMove3:     "move D A; move E B; move F C",
	FormMove2:     "move D A; move E B",
	FormAdd:       "add D A B C n=width m=mask",
	FormCarry:     "carry D A B C n=width",
	FormSubtract:  "subtract D A B n=width",
	FormLess:      "less D A B n=width",
	FormNot:       "not D A n=width m=mask",
	FormLeft:      "left D A B n=width",
	FormRight:     "right D A B",
}

// ops are the flat steps as the table names them.
var flatOps = map[string]Op{
	"load": Load, "store": Store, "carry": Carry, "add": Add, "subtract": Subtract,
	"less": Less, "not": Not, "and": And, "or": Or, "xor": Xor, "move": Move,
	"bits": Bits, "equal": Equal, "unequal": Unequal, "below": Below, "at-most": AtMost,
	"join": Join, "plus": Plus, "minus": Minus, "left": Left, "right": Right, "draw": Draw,
	"turn": RotateLeft, "turn-back": RotateRight, "leading": Leading, "unless": JumpZero,
}

// parts are the words of the table that stand for several steps, by the ways these can be.
var parts = map[string][]string{
	"reach": {
		"join @ A #K n=moved m=reach",
		"bits @' A n=0 m=reach; plus @ @' #K m=reach",
		"plus @ A #K m=reach",
		"bits @ A n=0 m=reach",
		"stands @",
	},
	"note": {"bits E @ n=sign m=1; equal F @ #0"},
	"go":   {"unless x; move P #T"},
}
