package bringup

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// Bare is an office of nothing but a machine file and an image: every word of the image stands in store at power-up, no
// device answers, and nothing is expected of a run.
func Bare(name string, code *order.Code, image *memory.Image) *Office {
	return &Office{Name: name, Code: code, Wired: image, Image: image}
}
