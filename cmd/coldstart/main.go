// Coldstart brings a long-dead duplexed telephone control processor back to life on paper first.
// Everything it does is in package cli; this file only hands it the process.
package main

import (
	"os"

	"coldstart/cmd/coldstart/internal/cli"
)

func main() {
	os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
