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

	"github.com/vinylgeom/vinyl/layout/order"
)

// Main runs a program with the arguments and files of the process. An interrupt
// ends its context. An error is printed after the program's name, but for a call for
// help, and the process ends with status 1.
func Main(name string, run func(ctx context.Context, args []string, stdout, stderr io.Writer) error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	err := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	if err == nil {
		return
	}
	if !errors.Is(err, flag.ErrHelp) {
		fmt.Fprintf(os.Stderr, "%s: %v\n", name, err)
	}
	os.Exit(1)
}

// Parse reads the flags and refuses anything else: all settings are flags.
func Parse(flags *flag.FlagSet, args []string) error {
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("unexpected argument %q; all settings are flags", flags.Arg(0))
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
