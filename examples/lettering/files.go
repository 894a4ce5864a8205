package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// file is a finished file, to be written.
type file struct {
	name string
	data []byte
}

// write puts every file beside its place first and moves them there once all
// are complete, so that nothing is left half written.
func write(files []file) (err error) {
	var ready []string
	current := ""
	defer func() {
		if err != nil {
			// The system names the passing file; the shop knows its own.
			var pe *fs.PathError
			if errors.As(err, &pe) {
				err = pe.Err
			}
			err = fmt.Errorf("%s cannot be written: %w", current, err)
		}
		for _, name := range ready {
			os.Remove(name) // gone already where all went well
		}
	}()
	for _, f := range files {
		current = f.name
		t, err := os.CreateTemp(filepath.Dir(f.name), ".lettering-*")
		if err != nil {
			return err
		}
		ready = append(ready, t.Name())
		_, err = t.Write(f.data)
		if closeErr := t.Close(); err == nil {
			err = closeErr
		}
		if err != nil {
			return err
		}
		if err := os.Chmod(t.Name(), 0o644); err != nil {
			return err
		}
	}
	for i, f := range files {
		current = f.name
		if err := os.Rename(ready[i], f.name); err != nil {
			return err
		}
	}
	return nil
}
