package loader

import "coldstart/memory/overlay"

// kinds are what a list of areas may say, in words and with what a difference there means.
var kinds = map[string]overlay.Part{
	"program": {Kind: "program", Rule: overlay.Fixed},
	"table":   {Kind: "table", Rule: overlay.Fixed},
	"data":    {Kind: "office data", Rule: overlay.Judged},
	"working": {Kind: "working", Rule: overlay.Free},
	"map":     {Kind: "network map", Rule: overlay.Free},
}

// Parts are the areas as an overlay takes them. Areas include their last address, and so do words of units.
func (a Areas) Parts() []overlay.Part {
	var all []overlay.Part
	for _, area := range a {
		p := kinds[area.Kind]
		p.Name, p.First, p.Last = area.Name, area.Span.First, area.Span.Last
		all = append(all, p)
	}
	return all
}
