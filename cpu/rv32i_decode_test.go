package cpu_test

import (
	"encoding/binary"
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"golang.org/x/arch/riscv64/riscv64asm"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// words is how many random words are decoded by both.
var words = flag.Int("words", 100_000, "random words for the RV32I machine file and golang.org/x/arch to agree over")

// rvForms are the forty orders of RV32I as golang.org/x/arch names them, and how it gives their operands: a letter each, as
// in the listing of chapter 24. Letter d is a register; n a number with sign; u one of 20 bits, and h a shift; j a distance
// from the order; a register and a distance from it are m; o is a set of devices, of a fence.
var rvForms = map[riscv64asm.Op]string{
	riscv64asm.LUI: "du", riscv64asm.AUIPC: "du", riscv64asm.JAL: "dj", riscv64asm.JALR: "dm",
	riscv64asm.BEQ: "ddj", riscv64asm.BNE: "ddj", riscv64asm.BLT: "ddj",
	riscv64asm.BGE: "ddj", riscv64asm.BLTU: "ddj", riscv64asm.BGEU: "ddj",
	riscv64asm.LB: "dm", riscv64asm.LH: "dm", riscv64asm.LW: "dm", riscv64asm.LBU: "dm", riscv64asm.LHU: "dm",
	riscv64asm.SB: "dm", riscv64asm.SH: "dm", riscv64asm.SW: "dm",
	riscv64asm.ADDI: "ddn", riscv64asm.SLTI: "ddn", riscv64asm.SLTIU: "ddn",
	riscv64asm.XORI: "ddn", riscv64asm.ORI: "ddn", riscv64asm.ANDI: "ddn",
	riscv64asm.SLLI: "ddh", riscv64asm.SRLI: "ddh", riscv64asm.SRAI: "ddh",
	riscv64asm.ADD: "ddd", riscv64asm.SUB: "ddd", riscv64asm.SLL: "ddd", riscv64asm.SLT: "ddd", riscv64asm.SLTU: "ddd",
	riscv64asm.XOR: "ddd", riscv64asm.SRL: "ddd", riscv64asm.SRA: "ddd", riscv64asm.OR: "ddd", riscv64asm.AND: "ddd",
	riscv64asm.FENCE: "oo", riscv64asm.ECALL: "", riscv64asm.EBREAK: "",
}

// A difference is a class of words that golang.org/x/arch reads, being made for RV64GC, and RV32I does not; why is what the
// manual says of them. There is no difference the other way.
type difference struct {
	name, why string
	covers    func(word uint32, theirs riscv64asm.Inst) bool
}

// rvDifferences are all there are.
var rvDifferences = []difference{
	{"compressed", "section 1.5: words whose lowest two bits are not 11 are those of 16 bits, of extension C (chapter 16), which RV32I leaves out",
		func(w uint32, theirs riscv64asm.Inst) bool { return w&3 != 3 && theirs.Len == 2 }},
	{"shift of 32 or more", "section 5.2: only RV64I has a sixth bit of the shift, bit 25; section 2.4 has it zero in RV32I",
		func(w uint32, theirs riscv64asm.Inst) bool { return rvForms[theirs.Op] == "ddh" && w>>25&1 == 1 }},
	{"of another set", "chapter 24: RV64I, and the extensions, have orders of their own; RV32I has the forty",
		func(w uint32, theirs riscv64asm.Inst) bool {
			_, base := rvForms[theirs.Op]
			return !base && theirs.Len == 4
		}},
}

// TestRV32IDecodes decodes words of every encoding class, and random ones, by the machine file and by
// golang.org/x/arch/riscv64/riscv64asm, and compares order and operands.
func TestRV32IDecodes(t *testing.T) {
	c := read(t, rv32i, "twos complement")
	d := rvDecoding{Code: c, same: map[string]int{}, differ: map[string]int{}}
	d.every(t)
	rng, count := rand.New(rand.NewPCG(32, 1)), *words
	if testing.Short() {
		count /= 10
	}
	for i := range count {
		w := rng.Uint32()
		if i%2 == 1 {
			w |= 3 // few words are no compressed ones by chance
		}
		d.compare(t, w)
	}
	for _, o := range c.Orders {
		if d.same[o.Name] == 0 {
			t.Errorf("%s was never met", o.Name)
		}
	}
	for _, diff := range rvDifferences {
		if d.differ[diff.name] == 0 {
			t.Errorf("no word was %s: the difference is no more, and its explanation not true", diff.name)
		}
	}
	t.Logf("alike: %v; only theirs: %v; neither: %d", d.same, d.differ, d.neither)
}

// rvDecoding counts what a comparison met.
type rvDecoding struct {
	*order.Code
	same, differ map[string]int
	neither      int
}

// every compares words of each encoding class: each operation code with each of its functions, all registers and numbers at
// their ends and at one in between, and all orders of the environment.
func (d *rvDecoding) every(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 2))
	for head := range uint32(1 << 15) { // seven bits of function, three of function, five of operation code before its 11
		w := head>>8<<25 | head>>5&7<<12 | head&0x1F<<2 | 3
		for _, fields := range []uint32{0, ^uint32(0), rng.Uint32()} {
			d.compare(t, w|fields&(0x1F<<20|0x1F<<15|0x1F<<7))
		}
	}
	for _, o := range d.Orders {
		p := o.Patterns[0]
		for bit := range 32 {
			for _, free := range []uint32{0, ^uint32(0)} {
				d.compare(t, uint32(p.Value)|(free^1<<bit)&^uint32(p.Mask))
				d.compare(t, (uint32(p.Value)|free&^uint32(p.Mask))^1<<bit) // a pattern missed by one bit
			}
		}
	}
}

// compare decodes one word by both.
func (d *rvDecoding) compare(t *testing.T, w uint32) {
	ours := d.Find(memory.Word(w))
	var bytes [4]byte
	binary.LittleEndian.PutUint32(bytes[:], w)
	theirs, err := riscv64asm.Decode(bytes[:])
	if ours == nil {
		if err != nil {
			d.neither++
			return
		}
		for _, diff := range rvDifferences {
			if diff.covers(w, theirs) {
				d.differ[diff.name]++
				return
			}
		}
		t.Fatalf("%08X: no order of ours, theirs is %v", w, theirs)
	}
	if err != nil {
		t.Fatalf("%08X: ours is %s, theirs none: %v", w, ours.Name, err)
	}
	text, _ := d.Recite(origin, []memory.Word{memory.Word(w)})
	if want := rvText(theirs); text != want {
		t.Fatalf("%08X: ours is %q, theirs is %v: %q", w, text, theirs, want)
	}
	d.same[ours.Name]++
}

// rvText is an order as golang.org/x/arch decodes it, standing at the origin, in our order text; another set's is told so.
func rvText(inst riscv64asm.Inst) string {
	form, base := rvForms[inst.Op]
	if !base || inst.Len != 4 {
		return fmt.Sprintf("%v, of another set", inst)
	}
	var operands []string
	for i, letter := range form {
		switch arg := inst.Args[i].(type) {
		case riscv64asm.Reg:
			operands = append(operands, fmt.Sprintf("x%d", arg-riscv64asm.X0))
		case riscv64asm.Simm:
			if letter == 'j' {
				operands = append(operands, rvDigits(fmt.Sprintf("%08X", uint32(origin+int64(arg.Imm)))))
			} else {
				operands = append(operands, rvSigned(arg.Imm))
			}
		case riscv64asm.Uimm:
			operands = append(operands, rvDigits(fmt.Sprintf("%X", arg.Imm)))
		case riscv64asm.MemOrder:
			operands = append(operands, rvDigits(fmt.Sprintf("%X", uint8(arg))))
		case riscv64asm.RegOffset:
			operands = append(operands, rvSigned(arg.Ofs.Imm), fmt.Sprintf("x%d", arg.OfsReg-riscv64asm.X0))
		}
	}
	return strings.TrimRight(strings.ToLower(inst.Op.String())+" "+strings.Join(operands, ", "), " ")
}

// rvSigned is a number with its sign as order text has it.
func rvSigned(n int32) string {
	if n < 0 {
		return "-" + rvDigits(fmt.Sprintf("%X", -int64(n)))
	}
	return rvDigits(fmt.Sprintf("%X", n))
}

// rvDigits puts a zero before a hexadecimal number that begins with a letter, as order text wants it.
func rvDigits(text string) string {
	if text[0] > '9' {
		return "0" + text
	}
	return text
}
