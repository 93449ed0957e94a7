package main

import (
	"context"
	"io"
	"testing"

	"swardcast/cmd/internal/cli"
)

// BenchmarkWindow is the whole command on 30 years and one species.
func BenchmarkWindow(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		p := testProgram(nil, io.Discard, io.Discard)
		if status := p.Main(context.Background(), []string{"window"}); status != cli.Answered {
			b.Fatal("status", status)
		}
	}
}

// BenchmarkRegion is a station of a region, 10 years, read and answered for one
// species and for all, in one job.
func BenchmarkRegion(b *testing.B) {
	drawRegion(b, 20)
	for _, species := range []string{"perennial-ryegrass", "all"} {
		b.Run(species, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p := testProgram(nil, io.Discard, io.Discard)
				if status := p.Main(context.Background(), []string{"region", "fields", "--format", "csv",
					"--jobs", "1", "--species", species}); status != cli.Answered {
					b.Fatal("status", status)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(20*b.N), "µs/station")
		})
	}
}
