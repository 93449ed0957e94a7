package recordstest

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// outcome is what Path does to a test of its own.
func outcome(t *testing.T, parts ...string) (path string, skipped, failed bool) {
	inner := &watched{TB: t}
	done := make(chan struct{})
	go func() { // Skip and Fatal end the goroutine
		defer close(done)
		path = Path(inner, parts...)
	}()
	<-done
	return path, inner.skipped, inner.failed
}

type watched struct {
	testing.TB
	skipped, failed bool
}

func (w *watched) Helper() {}
func (w *watched) Skipf(string, ...any) {
	w.skipped = true
	runtime.Goexit()
}
func (w *watched) Fatalf(string, ...any) {
	w.failed = true
	runtime.Goexit()
}

func TestPath(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "soil"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, value, part, want string
		skipped, failed         bool
	}{
		{"not set", "", "soil", "", true, false},
		{"there", dir, "soil", filepath.Join(dir, "soil"), false, false},
		{"a part that is not there", dir, "long", "", true, false},
		{"no folder", filepath.Join(dir, "none"), "soil", "", false, true},
		{"a file", filepath.Join(dir, "soil"), "soil", "", false, true},
		{"relative", "soil", "soil", "", false, true},
	} {
		t.Setenv(Variable, c.value)
		if path, skipped, failed := outcome(t, c.part); path != c.want || skipped != c.skipped || failed != c.failed {
			t.Errorf("%s: %q, skipped %v, failed %v", c.name, path, skipped, failed)
		}
	}
}
