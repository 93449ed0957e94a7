package main

import (
	"errors"
	"fmt"
	"io"
	"os"
)

// readFile gives a file to what reads it. A file that is written to meanwhile is
// refused: what was read of it may be half old, half new.
func readFile(name string, read func(io.Reader) error) error {
	f, err := os.Open(name)
	if err != nil {
		return fileError(name, err)
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return fileError(name, err)
	}
	if before.IsDir() {
		return &dataError{fmt.Errorf("%s: this is a directory", name), "name one file in it"}
	}
	readErr := read(f)
	after, err := f.Stat()
	switch {
	case err != nil:
		return fileError(name, err)
	case before.Mode().IsRegular() && (after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime())):
		return &dataError{fmt.Errorf("%s: the file changed while it was read", name), "try again once it is written"}
	}
	return readErr
}

// fileError gives an error of opening a file without the words of the system call.
func fileError(name string, err error) error {
	switch {
	case errors.Is(err, os.ErrNotExist):
		return &dataError{fmt.Errorf("%s: there is no such file", name), ""}
	case errors.Is(err, os.ErrPermission):
		return &dataError{fmt.Errorf("%s: no permission to read it", name), ""}
	}
	return &dataError{fmt.Errorf("%s: %w", name, withoutPath(err)), ""}
}
