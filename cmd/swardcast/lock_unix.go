//go:build unix

package main

import (
	"os"
	"syscall"
)

// lock keeps other runs from writing to a file until it is closed. It fails where
// another has it.
func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }
