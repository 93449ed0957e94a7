package files

import (
	"errors"
	"io"
	"os"
	"strings"
	"syscall"

	"swardcast/cmd/internal/cli"
)

// Read gives a file to what reads it. A file that is written to meanwhile is
// refused: what was read of it may be half old, half new.
func Read(name string, read func(io.Reader) error) error {
	// A named pipe would be waited for without end; a shell's own lie in /dev.
	if info, err := os.Stat(name); err == nil && info.Mode()&os.ModeNamedPipe != 0 && !strings.HasPrefix(name, "/dev/") {
		return cli.Dataf("pipe it in, as in swardcast window - <"+name, "%s: this is a named pipe, not a file", name)
	}
	f, err := os.Open(name)
	if err != nil {
		return Error(name, err)
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return Error(name, err)
	}
	if before.IsDir() {
		return cli.Dataf("name one file in it", "%s: this is a directory", name)
	}
	readErr := read(f)
	after, err := f.Stat()
	switch {
	case err != nil:
		return Error(name, err)
	case before.Mode().IsRegular() && (after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime())):
		return cli.Dataf("try again once it is written", "%s: the file changed while it was read", name)
	}
	return readErr
}

// Error gives an error of opening a file without the words of the system call.
func Error(name string, err error) error {
	switch {
	case errors.Is(err, os.ErrNotExist), errors.Is(err, syscall.ENOTDIR):
		return cli.Dataf("", "%s: %w", name, cli.ErrNoFile)
	case errors.Is(err, os.ErrPermission):
		return cli.Dataf("", "%s: no permission to read it", name)
	}
	return cli.Dataf("", "%s: %w", name, withoutPath(err))
}
