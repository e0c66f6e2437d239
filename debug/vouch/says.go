package vouch

import "slices"

// limits are what nobody may take this sheet to say.
var limits = []string{
	"It does not say that blocks or words are right that were not run.",
	"It does not say that the image is what the office last used.",
	"It does not say that the machine file is right.",
	"It does not say that the hardware is sound, or that there are margins of timing.",
	"It does not say that the office data matches the wiring.",
	"It does not say that the network is idle.",
	"A sum that comes out says that this sum comes out: errors that make up for each other pass it.",
	"Readings that agree are no measure of how likely it is that they are right.",
	"It does not say that the recorded tape will read back: only `coldstart readback` on what the drive serves shows that.",
}

// cautions are what to mind at the plant. They are common practice, no source.
var cautions = []string{
	"48 V strings deliver welding currents; 130 V and ringing shock. Jewellery off, insulated tools, fuses identified. The positive side is often earthed: an earth-referenced ground clip can short a supply. Use isolated or differential means.",
	"Old MOS stores with several supply rails can be ruined by the wrong order of rails, or by pulling a plug-in live; static precautions for every chip handled.",
	"Original tapes: write lock set, and never in a machine that can write. Digitise first; write only to new, marked media; keep the raw samples untouched.",
	"One processor at a time until each is proved; outputs to pulser, trunks and ringing disabled by the plant's own documented method; a person watches the on-line lamps.",
	"Latched reeds keep their last state: assume it unknown, never infer it from the map. No connection to any public network. This program drives no hardware.",
	"Follow local codes, the plant's own practices and a qualified/licensed person.",
}

// Cautions are what to mind at the plant, for every paper that sends somebody there; the last defers to those who know it.
func Cautions() []string { return slices.Clone(cautions) }

// limits prints what the sheet does not say.
func (s *Sheet) limits(p *paper) {
	p.part("WHAT THIS SHEET DOES NOT SAY")
	for _, l := range limits {
		p.fold("- ", "  ", l)
	}
}

// cautions prints what to mind at the plant.
func (s *Sheet) cautions(p *paper) {
	p.part("BEFORE ANYBODY TOUCHES THE PLANT")
	for _, l := range cautions {
		p.fold("- ", "  ", l)
	}
}
