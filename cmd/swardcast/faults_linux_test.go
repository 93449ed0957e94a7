package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"swardcast/cmd/internal/cli"
)

// disk mounts a small disk in memory.
func disk(t *testing.T, options string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, options); err != nil {
		t.Skipf("no disk can be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Error(err)
		}
	})
	return dir
}

func TestFullDisk(t *testing.T) {
	output := filepath.Join(disk(t, "size=64k"), "answer.csv")
	write(t, output, "old")
	cannotWrite(t, output, "old", "no space left on device")
}

func TestReadOnlyDisk(t *testing.T) {
	dir := disk(t, "size=64k")
	output := filepath.Join(dir, "answer.csv")
	write(t, output, "old")
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	cannotWrite(t, output, "old", "read-only file system")
	cannotWrite(t, filepath.Join(dir, "new.csv"), "", "read-only file system")
}

func TestReadOnlyFolder(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("nothing is forbidden to the superuser")
	}
	dir := t.TempDir()
	output := filepath.Join(dir, "answer.csv")
	write(t, output, "old")
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o755)
	cannotWrite(t, output, "old", "permission denied")
}

// A limit on the size of files stops a write in its middle.
func TestFileSizeLimit(t *testing.T) {
	dir := t.TempDir()
	output := filepath.Join(dir, "answer.csv")
	write(t, output, "old")
	for _, line := range []string{
		"ulimit -f 8; exec swardcast soil --format csv -o answer.csv",
		"ulimit -f 8; exec swardcast soil --format csv > stdout.csv",
	} {
		c := exec.Command("sh", "-c", line)
		c.Dir = dir
		messages, err := c.CombinedOutput()
		if err == nil || c.ProcessState.ExitCode() != cli.NoAnswer ||
			!strings.Contains(string(messages), " cannot be written: file too large") {
			t.Errorf("%s: %v: %s", line, err, messages)
		}
	}
	if read(t, output) != "old" || len(leftovers(t, dir)) > 0 {
		t.Error("the old content is gone, or a temporary file is left")
	}
}

func TestFullDevice(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip(err)
	}
	defer full.Close()
	if status, stderr := swardcast(t, full, "species"); status != cli.NoAnswer ||
		!strings.Contains(stderr, "standard output cannot be written: no space left on device") {
		t.Errorf("status %d: %s", status, stderr)
	}
	status, _, stderr := runLine("", "species", "-o", "/dev/full")
	if status != cli.NoAnswer || !strings.Contains(stderr, "/dev/full cannot be written: no space left on device") {
		t.Errorf("status %d: %s", status, stderr)
	}
}
