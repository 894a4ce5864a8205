// Package command is what the example programs have in common on their command
// line: how they start and end, their flags, the order they work on and JSON.
package command

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"strings"

	"github.com/vinylgeom/vinyl/layout/order"
)

// Main runs a program with the arguments and files of the process. An interrupt
// ends its context. An error is printed after the program's name, and the process
// ends with status 1; a call for help is none.
func Main(name string, run func(ctx context.Context, args []string, stdout, stderr io.Writer) error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	err := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	if err == nil || errors.Is(err, flag.ErrHelp) {
		return
	}
	// A package may have the program's name.
	fmt.Fprintf(os.Stderr, "%s: %s\n", name, strings.TrimPrefix(err.Error(), name+": "))
	os.Exit(1)
}

// Flags returns the set of a program's flags. Asked for help it says on stderr
// what the program does, "prints ...", and lists them.
func Flags(name, does string, stderr io.Writer) *flag.FlagSet {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.Usage = func() {
		fmt.Fprintf(flags.Output(), "%s %s.\n\n", name, does)
		flags.PrintDefaults()
	}
	return flags
}

// Parse reads the flags and refuses anything else: all settings are flags. What
// is wrong is told once, without the list of all flags, which would hide it.
func Parse(flags *flag.FlagSet, args []string) error {
	stderr := flags.Output()
	flags.SetOutput(io.Discard)
	err := flags.Parse(args)
	flags.SetOutput(stderr)
	switch {
	case errors.Is(err, flag.ErrHelp):
		flags.Usage()
		return err
	case err != nil:
		return fmt.Errorf("%w; -h lists the flags", err)
	case flags.NArg() > 0:
		return fmt.Errorf("unexpected argument %q; all settings are flags (-h lists them), and words with spaces need quotes", flags.Arg(0))
	}
	return nil
}

// Order reads the order file of that name and the folder of its artwork; the
// demo order where there is no name.
func Order(name string) (order.Order, fs.FS, error) {
	if name == "" {
		o, err := order.Demo()
		return o, nil, err
	}
	return order.ReadFile(name)
}

// PrintJSON prints v as indented JSON.
func PrintJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
