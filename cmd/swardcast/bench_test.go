package main

import (
	"io"
	"testing"
)

// BenchmarkWindow is the whole command on 30 years and one species.
func BenchmarkWindow(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		p := program{Stdout: io.Discard, Stderr: io.Discard}
		if status := p.Main([]string{"window"}); status != statusAnswered {
			b.Fatal("status", status)
		}
	}
}
