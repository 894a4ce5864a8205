package order

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// ReadFile reads an order file as [Read] does, and returns with it the folder
// that the order's own files are relative to, for Options.Files.
func ReadFile(name string) (Order, fs.FS, error) {
	f, err := os.Open(name)
	if err != nil {
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		return Order{}, nil, &Error{Where: name, Cause: err, Fix: "check the path of the order file"}
	}
	defer f.Close()
	o, err := Read(f)
	return o, os.DirFS(filepath.Dir(name)), err
}
