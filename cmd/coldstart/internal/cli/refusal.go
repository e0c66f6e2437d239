package cli

import (
	"errors"
	"fmt"
	"go/scanner"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/loader/list"
)

// An unusable is input or usage that a command cannot work with, told in one sentence.
type unusable struct {
	where string // a file, a place in one, a command or an option; "" where what says it
	what  string // is wrong
	next  string // what to do about it
	cause error  // what the host said, for errors.Is; nil where there is nothing more
}

// Error is the sentence: where, what, what next.
func (u *unusable) Error() string {
	s := u.what
	if u.where != "" {
		s = u.where + ": " + s
	}
	if u.next != "" {
		s += "; " + u.next
	}
	return s
}

// Unwrap gives the cause.
func (u *unusable) Unwrap() error { return u.cause }

// A fault is a panic of this program, kept from the person at the desk as far as possible.
type fault struct {
	value any
	trace []byte
}

// Error says that neither the person nor the machine is to blame, and how to help.
func (f *fault) Error() string {
	return fmt.Sprintf("a fault of this program, not of your files or your machine (%v); "+
		"please tell its keepers this line and what you typed; with COLDSTART_TRACE=1 set it says where", f.value)
}

// explain prints an error: of a list of text errors the first ten by position, of anything else a sentence.
func (e *env) explain(err error) {
	said := list.Report(err)
	if !errors.As(err, new(scanner.ErrorList)) {
		said = "coldstart: " + said
	}
	fmt.Fprintln(e.err, said)
}

// knows refuses a command that does not exist, before its options are looked at: they would be unknown as well.
// Options of coldstart itself take no values, so the first word is the command.
func knows(root *cobra.Command, args []string) error {
	at := slices.IndexFunc(args, func(a string) bool { return !strings.HasPrefix(a, "-") })
	if at < 0 {
		return nil
	}
	// Cobra adds these two when it runs; the names starting with two underscores are what shells ask completions by.
	if child(root, args[at]) != nil || args[at] == "completion" || strings.HasPrefix(args[at], "__") {
		return nil
	}
	if args[at] == "help" {
		return knows(root, args[at+1:])
	}
	u := &unusable{what: fmt.Sprintf("there is no command %q", args[at]), next: `"coldstart help commands" lists them`}
	if near := list.Nearest(args[at], append(names(root, ""), "help")); near != "" {
		u.next = fmt.Sprintf("the nearest is %q, and %s", near, u.next)
	}
	return u
}

// optionName finds the long options in the help of a command. It spares a second library for a list of names.
var optionName = regexp.MustCompile(`(?m)^ +(?:-\w, )?(--[\w-]+)`)

// quotedOption finds the long option that the library's sentence on a value ends in.
var quotedOption = regexp.MustCompile(`--[\w-]+" flag$`)

// options are the long options of a command, with their dashes.
func options(c *cobra.Command) []string {
	var all []string
	for _, m := range optionName.FindAllStringSubmatch(c.Flags().FlagUsages(), -1) {
		all = append(all, m[1])
	}
	return all
}

// badOption tells what is wrong with an option, in place of the library's words.
func badOption(c *cobra.Command, err error) error {
	u := &unusable{where: place(c), what: err.Error(), next: fmt.Sprintf("%q shows what fits", c.CommandPath()+" --help"), cause: err}
	var named interface {
		GetSpecifiedName() string
		GetSpecifiedShortnames() string // "" where the option was typed with two dashes
	}
	if !errors.As(err, &named) {
		// A value that does not parse: the library says which option, and after ": " the words of a Go function.
		u.what, _, _ = strings.Cut(u.what, ": ")
		var value interface{ GetValue() string }
		if of := strings.TrimSuffix(quotedOption.FindString(u.what), "\" flag"); of != "" && errors.As(err, &value) {
			u.what = fmt.Sprintf("%s cannot be %q", of, value.GetValue())
		}
		return u
	}
	typed, known := "--"+named.GetSpecifiedName(), c.Flags().Lookup(named.GetSpecifiedName()) != nil
	if named.GetSpecifiedShortnames() != "" {
		typed, known = typed[1:], c.Flags().ShorthandLookup(named.GetSpecifiedName()) != nil
	}
	if known {
		u.what = typed + " needs a value after it"
		return u
	}
	u.what = "there is no option " + typed
	if near := list.Nearest(typed, options(c)); near != "" {
		u.next = fmt.Sprintf("the nearest is %s, and %s", near, u.next)
	}
	return u
}

// place names a command in a refusal, where "coldstart: " has been said already.
func place(c *cobra.Command) string {
	return strings.TrimSpace(strings.TrimPrefix(c.CommandPath(), c.Root().Name()))
}

// empty refuses an option typed with nothing in it: a variable of a shell that was never set would otherwise
// make a command work on something that nobody named.
func empty(c *cobra.Command) error {
	u := &unusable{where: place(c), next: fmt.Sprintf("%q shows what fits", c.CommandPath()+" --help")}
	for _, name := range options(c) {
		f := c.Flags().Lookup(strings.TrimPrefix(name, "--"))
		if f.Changed && f.Value.Type() == "string" && f.Value.String() == "" {
			u.what = name + " is given, and nothing stands after it"
		}
	}
	if u.what == "" {
		return nil
	}
	return u
}

// twice refuses an option that is given more than once and counts only once: the first would be passed over in silence.
func twice(c *cobra.Command, args []string) error {
	given := map[string]int{}
	for _, arg := range args {
		if arg == "--" {
			break
		}
		if name, isOption := strings.CutPrefix(arg, "--"); isOption {
			name, _, _ = strings.Cut(name, "=")
			given[name]++
		}
	}
	for _, option := range options(c) {
		name := strings.TrimPrefix(option, "--")
		_, many := c.Flags().Lookup(name).Value.(interface{ GetSlice() []string })
		if given[name] > 1 && !many {
			return &unusable{where: place(c), what: option + " is given more than once", next: "leave all but one out"}
		}
	}
	return nil
}

// takes refuses any number of words after a command but the right one; what says what the words are.
func takes(least, most int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		u := &unusable{where: place(c), next: fmt.Sprintf("%q shows examples", c.CommandPath()+" --help")}
		switch {
		case len(args) > most:
			u.what = fmt.Sprintf("%q is one word too many: it takes %s", args[most], what)
		case len(args) < least:
			u.what = fmt.Sprintf("a word is missing: it takes %s", what)
		case slices.Contains(args, ""):
			u.what = fmt.Sprintf("a word is empty: it takes %s", what)
		default:
			return nil
		}
		return u
	}
}
