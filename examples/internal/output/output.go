// Package output writes the files of the example programs: all of them, or
// none.
package output

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// File is a file to be written. One without a name was not asked for.
type File struct {
	Name  string
	Write func(io.Writer) error
}

// Write writes every file beside its place first and moves them there once all
// are complete, so that no half of a file is ever cut. Files without a name are
// passed over. The error names the file.
func Write(files ...File) error {
	files = slices.DeleteFunc(slices.Clone(files), func(f File) bool { return f.Name == "" })
	beside := make([]string, 0, len(files))
	defer func() {
		for _, name := range beside {
			os.Remove(name) // gone already where all went well
		}
	}()
	for _, f := range files {
		if info, err := os.Stat(f.Name); err == nil && info.IsDir() {
			return f.failure(errors.New("it is a folder"))
		}
		t, err := os.CreateTemp(filepath.Dir(f.Name), ".unfinished-*")
		if err != nil {
			return f.failure(err)
		}
		beside = append(beside, t.Name())
		buffered := bufio.NewWriter(t)
		if err := f.Write(buffered); err != nil {
			return errors.Join(fmt.Errorf("%s: %w", f.Name, err), t.Close())
		}
		if err := errors.Join(buffered.Flush(), t.Chmod(0o644), t.Close()); err != nil {
			return f.failure(err)
		}
	}
	for i, f := range files {
		if err := os.Rename(beside[i], f.Name); err != nil {
			return f.failure(err)
		}
	}
	return nil
}

func (f File) failure(err error) error {
	// The system names the passing file; the shop knows its own.
	var passing *fs.PathError
	if errors.As(err, &passing) {
		err = passing.Err
	}
	return fmt.Errorf("%s cannot be written: %w; choose a folder that can be written", f.Name, err)
}
