package main

import (
	"bytes"
	"errors"
	"maps"
	"os/exec"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// One package of the program speaks HTTP, climate/fetch, and one package asks it,
// services, for the commands that say so. No other, and no library, reaches a network or
// starts another program.
func TestOneWayToTheNetwork(t *testing.T) {
	list, err := exec.Command("go", "list", "-deps", "-f", `{{if not .Standard}}{{.ImportPath}} {{join .Imports " "}}{{end}}`, ".").
		Output()
	if err != nil {
		t.Skipf("no go command: %v", err)
	}
	reaches := map[string][]string{} // packages, by what they import
	for line := range strings.Lines(string(list)) {
		names := strings.Fields(line)
		for _, p := range names[1:] {
			switch {
			case strings.HasPrefix(p, "net/http"),
				p == "net/rpc",
				p == "net/smtp",
				p == "crypto/tls",
				p == "os/exec",
				p == "plugin",
				p == "swardcast/climate/fetch":
				reaches[p] = append(reaches[p], names[0])
			}
		}
	}
	want := map[string][]string{
		// The reader of spreadsheets guesses the type of a picture by it, and dials nothing.
		"net/http": {"github.com/xuri/excelize/v2", "swardcast/climate/fetch"},
		"swardcast/climate/fetch": {
			"swardcast/cmd/internal/fetch",
			"swardcast/cmd/internal/services",
			"swardcast/cmd/internal/station",
		},
	}
	for _, list := range reaches {
		slices.Sort(list)
	}
	if !maps.EqualFunc(reaches, want, slices.Equal) {
		t.Errorf("the network is reached by %v, want %v", reaches, want)
	}
}

// No example of any command asks a service but those that name a station of one. Which
// addresses each of these asks is shown by the tests of package services.
func TestOnlyAskedFor(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	exampleFolder(t)
	s := serviceServer(t)
	for _, c := range commands {
		for _, args := range examplesOf(c) {
			runLine("", args...)
			if asked := s.Asked(); len(asked) > 0 && !asksServices(c, args) {
				t.Errorf("%q asks %q", args, asked)
			}
		}
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
