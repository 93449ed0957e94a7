package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"swardcast": main})
}

// TestScripts runs the command lines of testdata/script. With
// UPDATE_SCRIPTS=1 it writes what the program prints into them.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/script",
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(e *testscript.Env) error {
			dir, err := os.Getwd()
			e.Setenv("TESTDATA", dir+"/../../testdata")
			e.Setenv("TZ", "Pacific/Auckland") // no answer may depend on it
			return err
		},
	})
}
