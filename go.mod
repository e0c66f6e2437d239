module coldstart

go 1.26.0

// Shipped: what each is for.
require (
	github.com/google/renameio/v2 v2.0.2 // whole-file replacement; used by cli alone
	github.com/peterh/liner v1.2.3 // line editing at the desk; used by repl alone
	github.com/spf13/cobra v1.10.2 // subcommands, flags, completion; used by cli alone
)

// Tests only.
require (
	github.com/google/go-cmp v0.7.0 // differences a person can read
	github.com/rogpeppe/go-internal v1.16.0 // testscript: scripts through the real main
	golang.org/x/arch v0.32.0 // riscv64asm: decoding compared
	golang.org/x/exp v0.0.0-20261113113407-e3970619a1a4 // ebnf: the published grammar is verified and derived from
)

require (
	github.com/clipperhouse/uax29/v2 v2.7.0 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/mattn/go-runewidth v0.0.31 // indirect
	github.com/spf13/pflag v1.0.9 // indirect
	golang.org/x/sys v0.49.0 // indirect
	golang.org/x/tools v0.52.1-0.20261106145633-d407941a339a // indirect
)
