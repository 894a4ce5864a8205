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
// are complete, so that no half of a file is ever cut.
func write(files []file) (err error) {
	beside := make([]string, 0, len(files))
	defer func() {
		for _, name := range beside {
			os.Remove(name) // gone already where all went well
		}
	}()
	fail := func(f file, err error) error {
		// The system names the passing file; the shop knows its own.
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		return fmt.Errorf("%s cannot be written: %w", f.name, err)
	}
	for _, f := range files {
		if info, err := os.Stat(f.name); err == nil && info.IsDir() {
			return fail(f, errors.New("it is a folder"))
		}
		t, err := os.CreateTemp(filepath.Dir(f.name), ".cutfile-*")
		if err != nil {
			return fail(f, err)
		}
		beside = append(beside, t.Name())
		_, err = t.Write(f.data)
		err = errors.Join(err, t.Chmod(0o644), t.Close())
		if err != nil {
			return fail(f, err)
		}
	}
	for i, f := range files {
		if err := os.Rename(beside[i], f.name); err != nil {
			return fail(f, err)
		}
	}
	return nil
}
