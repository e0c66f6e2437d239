package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// A heading opens the report of every command: embed it first, so that its keys come first.
type heading struct {
	Command  string   `json:"command"`
	Verdict  string   `json:"verdict,omitempty"` // set by judge; "" by a command that judges nothing
	LookAt   []string `json:"look_at"`           // places a person can put a finger on
	ToSettle []string `json:"to_settle"`         // the next tests, cheapest first
	Inputs   []input  `json:"inputs"`

	status int    // what the process ends with
	but    string // what a reader of the verdict alone would miss; "" for nothing
}

// judge gives the report its verdict.
func (h *heading) judge(v watch.Verdict) { h.Verdict, h.status = v.String(), statusOf(v) }

// top lets show fill in the heading of a report that embeds it.
func (h *heading) top() *heading { return h }

// A report is what a command found: a struct that embeds a heading, and how it reads on paper.
type report interface {
	top() *heading
	print(w io.Writer) // all but the verdict and what follows it
}

// An asItIs is a report whose lines are not folded: they are kept in files and read again by this program, or they are the
// rows of a table for wide paper.
type asItIs interface{ asItIs() }

// show prints the report of the named command, as a person reads it or as JSON, and sets the exit status by its verdict.
func (e *env) show(command string, r report) error {
	h := r.top()
	h.Command = command
	h.Inputs = append([]input{}, e.inputs...)
	// A reader of JSON should find a list, also where it is empty.
	h.LookAt = append([]string{}, h.LookAt...)
	h.ToSettle = append([]string{}, h.ToSettle...)
	e.status = h.status
	if e.json {
		return writeJSON(e.out, r)
	}
	var b bytes.Buffer
	r.print(&b)
	text := b.String()
	if _, kept := r.(asItIs); !kept {
		text = folded(text)
	}
	io.WriteString(e.out, text) // what the end of a run finds unwritten is told there
	h.print(e.out)
	return nil
}

// print prints how every report that judges ends.
func (h *heading) print(w io.Writer) {
	if h.Verdict != "" {
		line := "Verdict: " + h.Verdict
		if h.but != "" {
			line += " - " + h.but
		}
		fmt.Fprintln(w, list.Fold(line, strings.Repeat(" ", 9)))
	}
	for _, part := range []struct {
		label string
		lines []string
	}{{"Look at:", h.LookAt}, {"To settle it:", h.ToSettle}} {
		for i, line := range part.lines {
			label := part.label
			if i > 0 {
				label = ""
			}
			label = fmt.Sprintf("%-14s", label)
			if isCommand(line) {
				fmt.Fprintln(w, foldCommand(label, list.Safe(line)))
				continue
			}
			fmt.Fprintln(w, list.Fold(label+" "+list.Safe(line), strings.Repeat(" ", 15)))
		}
	}
}

// writeJSON writes v as one indented object. What a terminal could take for a command is escaped, which JSON itself asks
// for below 20 only.
func writeJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	var out []byte
	for _, r := range b.String() {
		switch {
		case r == '\n' || unicode.IsPrint(r):
			out = utf8.AppendRune(out, r)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, high, low)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
	}
	_, err := w.Write(out)
	return err
}
