package main

import (
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
	defer func() {
		for _, name := range ready {
			os.Remove(name) // gone already where all went well
		}
	}()
	for _, f := range files {
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
		if err := os.Rename(ready[i], f.name); err != nil {
			return err
		}
	}
	return nil
}
