// Package recordstest finds the real station records that tests are held against.
// They are not part of the project.
package recordstest

import (
	"os"
	"path/filepath"
	"testing"
)

// Variable is the environment variable with the folder of the records, an absolute path.
const Variable = "SWARDCAST_RECORDS"

// Path returns the path of a file or folder of the records, such as "soil". It skips
// the test where the variable is not set or the records lack that part, and fails it
// where the variable does not name a folder.
func Path(t testing.TB, parts ...string) string {
	t.Helper()
	dir := os.Getenv(Variable)
	if dir == "" {
		t.Skipf("%s is not set: the real records are not here", Variable)
	}
	if !filepath.IsAbs(dir) {
		t.Fatalf("%s=%s is not an absolute path: each test runs in the folder of its package", Variable, dir)
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		t.Fatalf("%s=%s is not a folder", Variable, dir)
	}
	path := filepath.Join(append([]string{dir}, parts...)...)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the records have no %s", filepath.Join(parts...))
	}
	return path
}
