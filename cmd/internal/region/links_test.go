package region

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardcast/cmd/internal/cli"
)

// A link and what it leads to are one station, which is not answered twice.
func TestLinkAndTarget(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.csv")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(file, link); err != nil {
		t.Skip(err)
	}
	_, err := recordsOf(&cli.Program{}, []string{file, link}, "")
	if err == nil || !strings.Contains(err.Error(), "are the same file") {
		t.Error(err)
	}
	if list, err := recordsOf(&cli.Program{}, []string{link}, ""); err != nil || len(list) != 1 {
		t.Errorf("%v, %v", list, err)
	}
}
