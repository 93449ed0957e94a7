//go:build unix

package files_test

import (
	"io"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"swardcast/cmd/internal/files"
)

// A named pipe is refused, not waited for.
func TestNamedPipe(t *testing.T) {
	name := filepath.Join(t.TempDir(), "pipe.csv")
	if err := syscall.Mkfifo(name, 0o600); err != nil {
		t.Skip(err)
	}
	err := files.Read(name, func(io.Reader) error { return nil })
	if err == nil || !strings.Contains(err.Error(), "named pipe") {
		t.Error(err)
	}
}
