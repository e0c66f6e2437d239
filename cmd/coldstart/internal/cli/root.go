package cli

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cpu/assemble/template"
	"coldstart/cpu/channel"
	"coldstart/cpu/channel/plant"
	"coldstart/cpu/order/syntax"
	"coldstart/loader/tape"
)

// The three parts of a revival; each command belongs to one, by its GroupID.
const (
	before = "before the bench"
	bench  = "at the bench"
	after  = "after"
)

// firstSteps are the commands a newcomer is shown first: of each, the first line of its examples.
var firstSteps = []string{"bringup", "sit", "school"}

// helpTemplate is the help of one command: what it does, examples, then the options.
const helpTemplate = `{{or .Long .Short}}
{{if .HasExample}}
Examples:
{{.Example}}
{{end}}{{if .Runnable}}
Use:
  {{.UseLine}}

Options:
{{.Flags.FlagUsagesWrapped 80}}
Exit statuses are listed by "coldstart help statuses".
{{end}}`

// newRoot makes coldstart itself, with its commands and help topics.
func newRoot(e *env, makers []func(*env) *cobra.Command) *cobra.Command {
	cobra.EnableCommandSorting = false // the order is the one a team meets them in
	root := &cobra.Command{
		Use:               "coldstart",
		Short:             "Bring a long-dead telephone control processor back to life, on paper first.",
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: true},
		PersistentPreRunE: func(c *cobra.Command, _ []string) error { return cmp.Or(empty(c), twice(c, e.args)) },
		Run:               func(root *cobra.Command, _ []string) { firstScreen(root) },
	}
	root.SetIn(e.in)
	root.SetOut(e.out)
	root.SetErr(e.err)
	root.SetFlagErrorFunc(badOption)
	root.SetHelpTemplate(helpTemplate)
	root.PersistentFlags().BoolVar(&e.json, "json", false, "print the report as one JSON object")
	for _, part := range []string{before, bench, after} {
		root.AddGroup(&cobra.Group{ID: part, Title: part})
	}
	for _, make := range makers {
		root.AddCommand(make(e))
	}
	root.AddCommand(topics(root)...)
	root.SetHelpCommand(newHelp(root))

	standard := root.HelpFunc()
	root.SetHelpFunc(func(c *cobra.Command, args []string) {
		if c == root {
			firstScreen(root)
			return
		}
		c.Long = strings.TrimRight(refill(c.Long), "\n")
		standard(c, args)
	})
	return root
}

// topics are the help pages that belong to no command. They have nothing to run, which is how cobra knows them.
func topics(root *cobra.Command) []*cobra.Command {
	var table strings.Builder
	printStatuses(&table)
	return []*cobra.Command{
		{
			Use:   "statuses",
			Short: "what each exit status says",
			Long: "The exit status of every command:\n\n" + table.String() +
				"\nMessages are folded for paper; with COLDSTART_WIDE=1 set each is one line, for\nprograms that search them.",
		},
		{
			Use:   "machine-file",
			Short: "how a processor is typed in",
			Long:  syntax.Manual(),
		},
		{
			Use:   "devices",
			Short: "what stands at the channels",
			Long:  channel.Manual(),
		},
		{
			Use:   "exchange",
			Short: "network, lines, trunks, and people who call",
			Long:  plant.Manual(),
		},
		{
			Use:   "jams",
			Short: "how a fault to be put in is written",
			Long:  jamsTopic(),
		},
		{
			Use:   "march-template",
			Short: "how a march test becomes order text",
			Long:  template.Manual(),
		},
		{
			Use:   "tape-layout",
			Short: "how your recordings are laid out",
			Long:  tape.Manual(),
		},
		{
			Use:   "commands",
			Short: "every command in a line",
			Long:  strings.TrimRight(overview(root), "\n"),
		},
	}
}

// newHelp makes the command that explains the others, in place of the library's own.
func newHelp(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "explain a command, or show a page of help",
		Long: `The help of a command says what it does and shows examples. Besides commands
there are pages that belong to none; "coldstart help" alone names them.`,
		Example: "  coldstart help bringup\n  coldstart help machine-file",
		Args:    takes(0, 1, "one command, or one page of help"),
		RunE: func(_ *cobra.Command, words []string) error {
			if len(words) == 0 {
				return root.Help()
			}
			return child(root, words[0]).Help() // knows has refused what is no command
		},
	}
}

// firstScreen is what coldstart says when told nothing: what to type next, within 24 lines of 80 columns.
func firstScreen(root *cobra.Command) {
	w := root.OutOrStdout()
	fmt.Fprintf(w, "%s\n\nType next:\n", root.Short)
	for _, name := range firstSteps {
		if c := child(root, name); c != nil {
			line, _, _ := strings.Cut(c.Example, "\n")
			fmt.Fprintln(w, line)
		}
	}
	fmt.Fprint(w, "  coldstart help commands           every command in a line\n",
		"  coldstart help COMMAND            one command, with examples\n",
		"  coldstart help machine-file       how your processor is typed in\n",
		"  coldstart help tape-layout        how your recordings are laid out\n",
		"  coldstart help jams               how a fault to be put in is written\n",
		"  coldstart help march-template     how a march test becomes order text\n",
		"  coldstart help statuses           what each exit status says\n")
	fmt.Fprint(w, "\nCommands:\n")
	for _, part := range root.Groups() {
		wrap(w, "  "+part.Title+":", names(root, part.ID))
	}
}

// overview is every command in a line, by the part of a revival it belongs to.
func overview(root *cobra.Command) string {
	var b strings.Builder
	for _, part := range root.Groups() {
		fmt.Fprintf(&b, "%s:\n", strings.ToUpper(part.Title[:1])+part.Title[1:])
		for _, c := range root.Commands() {
			if c.GroupID == part.ID {
				fmt.Fprintf(&b, "  %-12s%s\n", c.Name(), c.Short)
			}
		}
	}
	return b.String()
}

// names are the commands of one part; "" gives all commands and help topics.
func names(root *cobra.Command, part string) []string {
	var all []string
	for _, c := range root.Commands() {
		if part == "" || c.GroupID == part {
			all = append(all, c.Name())
		}
	}
	return all
}

// child is the command or topic of that name, nil where there is none.
func child(root *cobra.Command, name string) *cobra.Command {
	for _, c := range root.Commands() {
		if c.Name() == name {
			return c
		}
	}
	return nil
}

// wrap prints words after a label, none beyond column 80. Without words it prints nothing.
func wrap(w io.Writer, label string, words []string) {
	line := label
	for _, word := range words {
		if len(line)+1+len(word) > 80 {
			fmt.Fprintln(w, line)
			line = strings.Repeat(" ", len(label))
		}
		line += " " + word
	}
	if len(words) > 0 {
		fmt.Fprintln(w, line)
	}
}
