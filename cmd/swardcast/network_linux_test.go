package main

import (
	"bytes"
	"errors"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// The program can reach no network: no package of it speaks HTTP, and what pflag
// brings of package net to read addresses cannot connect. The linker leaves out
// what is never called, so that a way to connect would show in its table.
func TestNoNetworkLinked(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	deps, err := exec.Command("go", "list", "-deps", ".").Output()
	if err != nil {
		t.Skipf("no go command: %v", err)
	}
	for _, p := range strings.Fields(string(deps)) {
		if strings.HasPrefix(p, "net/http") || p == "net/rpc" || p == "net/smtp" || p == "crypto/tls" || p == "os/exec" || p == "plugin" {
			t.Errorf("it depends on %s", p)
		}
	}
	binary := filepath.Join(t.TempDir(), "swardcast")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	symbols, err := exec.Command("go", "tool", "nm", binary).Output()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(symbols, []byte("main.main")) {
		t.Fatal("the table of symbols is empty")
	}
	connects := regexp.MustCompile(`(?m)^.* T (net\.\S*(Dial|Listen|Lookup|socket)\S*|syscall\.(connect|Connect|socket|Socket|bind|Bind)|golang\.org/x/net\S*)$`)
	if found := connects.FindAll(symbols, 5); len(found) > 0 {
		t.Errorf("it can connect: %s", bytes.Join(found, []byte("; ")))
	}
}

// Without any network the answers are the same.
func TestWithoutNetwork(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	for _, line := range []string{"window", "compare --format json", "seed --area 5000ft2"} {
		var out [2]bytes.Buffer
		for i := range out {
			c := exec.Command("swardcast", strings.Fields(line)...)
			c.Stdout = &out[i]
			if i == 1 {
				c.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNET}
			}
			if err := c.Run(); errors.Is(err, syscall.EPERM) {
				t.Skip("no network namespace can be made here")
			} else if err != nil {
				t.Fatal(err)
			}
		}
		if out[0].Len() == 0 || out[0].String() != out[1].String() {
			t.Errorf("%s: %d bytes with a network, %d without", line, out[0].Len(), out[1].Len())
		}
	}
}
