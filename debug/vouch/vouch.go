// Package vouch makes the confirmation sheet: what one run of an office, done with two fills of unwritten store, says about
// the image before anybody writes it back to the machine, and what it does not say. A sheet is plain text for paper, and
// holds all that is needed to make it again and compare.
package vouch

import (
	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
)

// A Frame is what a sheet states that neither the office nor the run can know.
type Frame struct {
	By       string   // who makes the sheet
	Label    string   // of the reel, for a recording that the office gives none; "" where nobody says
	Date     string   // as the computer's clock has it, or as said
	Program  []string // what made it: version, and how it was built, a line each
	Command  []string // the command line that makes the sheet again, folded for paper and for the shell
	Inputs   []Input  // every file it rests on
	Jams     []string // faults put in
	Override string   // why a person lets it pass; "" where nobody does
}

// Reading begins the part of a file that a merged recording was made of: the sheet knows it by the lineage alone, and it may
// lie elsewhere by now.
const Reading = "read for the image:"

// An Input is a file that a sheet rests on.
type Input struct {
	Part   string `json:"part"` // what it is for
	Path   string `json:"path"`
	SHA256 string `json:"sha256"` // in hexadecimal
}

// A Sheet is what a run says about an image. Counts are decimal, addresses in the machine's style.
type Sheet struct {
	Office   string   `json:"office"`
	Machine  string   `json:"machine"`
	Tapes    []Tape   `json:"tapes"`
	Result   string   `json:"result"`      // one of the four verdicts
	Run      string   `json:"run_verdict"` // of the run by itself
	Against  []string `json:"against"`     // what keeps it from GOOD
	Override string   `json:"override"`    // why a person would let that pass; "" where nobody would
	Passed   bool     `json:"passed_by_override"`
	Effect   string   `json:"override_effect"` // in a sentence; "" where there is no override
	By       string   `json:"by"`
	Date     string   `json:"date"`
	Program  []string `json:"program"`
	Command  []string `json:"command_lines"`
	Inputs   []Input  `json:"files"`
	Digest   string   `json:"image_sha256"` // of the words in store, by memory.Image.Digest

	Fills      []uint64 `json:"fills"`
	Agreed     string   `json:"fills_agree"`
	Ending     string   `json:"ending"`
	Clock      string   `json:"clock"`
	Orders     int64    `json:"orders"`
	Milestones []string `json:"milestones"`
	Missing    []string `json:"not_reached"`
	Chases     []string `json:"chases"`
	Printed    []string `json:"printed"`
	Stop       []string `json:"stop"`

	Blocks []Block  `json:"blocks"`
	Odd    []string `json:"odd"` // on the tapes, that is no block
	Use    Use      `json:"use"`

	Merged    bool     `json:"merged"` // a lineage says where the words of a recording came from
	Doubtful  []Word   `json:"doubtful"`
	Lost      []string `json:"lost"`
	Decisions []string `json:"decisions"`

	Unwritten []string `json:"unwritten"` // read before anything wrote it
	Misread   []string `json:"misread"`
	Devices   []string `json:"devices"`
	Keys      []string `json:"keys"`
	Resumed   []string `json:"resumed"`
	Jams      []string `json:"jams"`

	LookAt   []string `json:"-"` // places a person can put a finger on; the report of a command has them on top
	ToSettle []string `json:"-"` // the next tests, cheapest first

	verdict watch.Verdict
}

// A Tape is a recording that was seated.
type Tape struct {
	Channel string `json:"channel"`
	Label   string `json:"label"`
	File    string `json:"file"`
	SHA256  string `json:"sha256"`
}

// A maker is a sheet on its way.
type maker struct {
	*Sheet
	office *bringup.Office
	report *bringup.Report
	tally  *trail.Tally
}

// Make states on a sheet what a run of an office came to. The report is one that BringUp gave.
func Make(o *bringup.Office, r *bringup.Report, f Frame) *Sheet {
	m := maker{office: o, report: r, tally: r.Record.Tally(), Sheet: &Sheet{
		Office: o.Name, Machine: o.Code.Name, Run: r.Verdict.String(), By: f.By, Date: f.Date, Program: f.Program, Command: f.Command, Inputs: f.Inputs, Jams: f.Jams,
		Fills: r.Fills, Agreed: r.Agreed, Ending: r.Ending.String(), Clock: o.Time(r.At), Orders: r.Orders,
		Stop: r.Stop, Unwritten: r.Unwritten, Misread: r.Misread,
	}}
	m.seated(f.Label)
	m.ran()
	m.blocks()
	m.lineages()
	m.used()
	m.judge(f.Override)
	m.lists()
	return m.Sheet
}

// lists makes lists of what is empty, as readers of JSON expect them.
func (s *Sheet) lists() {
	for _, l := range []*[]string{
		&s.Against, &s.Milestones, &s.Missing, &s.Chases, &s.Printed, &s.Stop, &s.Odd, &s.Use.Never, &s.Use.Met, &s.Use.Unknown, &s.Use.Onward,
		&s.Use.Away, &s.Lost, &s.Decisions, &s.Unwritten, &s.Misread, &s.Devices, &s.Keys, &s.Resumed, &s.Jams,
	} {
		if *l == nil {
			*l = []string{}
		}
	}
	if s.Tapes == nil {
		s.Tapes = []Tape{}
	}
	if s.Blocks == nil {
		s.Blocks = []Block{}
	}
	if s.Doubtful == nil {
		s.Doubtful = []Word{}
	}
}

// Verdict is the result.
func (s *Sheet) Verdict() watch.Verdict { return s.verdict }
