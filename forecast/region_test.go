package forecast

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/forecast/turf"
)

// A drawn site makes its own weather; every fifth fails.
type drawnSite struct {
	number int
	at     *atomic.Int32 // sites being worked on
	most   *atomic.Int32
}

var errDrawn = errors.New("no record here")

func (d drawnSite) Station(context.Context) (*Station, error) {
	now := d.at.Add(1)
	defer d.at.Add(-1)
	for {
		most := d.most.Load()
		if now <= most || d.most.CompareAndSwap(most, now) {
			break
		}
	}
	if d.number%5 == 4 {
		return nil, fmt.Errorf("site %d: %w", d.number, errDrawn)
	}
	if d.number%3 == 0 {
		time.Sleep(2 * time.Millisecond) // so that later ones finish before it
	}
	return NewStation(weather.Generate(weather.Neighbour(d.number), 7, climate.Date(2000, 1, 1),
		climate.Date(2008, 6, 30)))
}

func drawnSites(n int) (sites []drawnSite, most *atomic.Int32) {
	at, most := new(atomic.Int32), new(atomic.Int32)
	for i := range n {
		sites = append(sites, drawnSite{i, at, most})
	}
	return sites, most
}

func TestRegion(t *testing.T) {
	tall, _ := turf.Find("tall-fescue")
	for _, jobs := range []int{0, 1, 3} {
		sites, most := drawnSites(20)
		o := RegionOptions{Options: []Options{{}, {Species: tall}}, Jobs: jobs}
		limit := jobs
		if limit == 0 {
			limit = runtime.GOMAXPROCS(0)
		}
		i := 0
		var begun atomic.Int32
		begin := func(yield func(drawnSite) bool) {
			for _, s := range sites {
				begun.Add(1)
				if !yield(s) {
					return
				}
			}
		}
		for d := range Region(context.Background(), begin, o) {
			// Waiting in order, being worked on, and the one about to be.
			if ahead := int(begun.Load()) - i; ahead > 3*limit+2 {
				t.Errorf("%d sites held at a time", ahead)
			}
			if d.Site.number != i {
				t.Fatalf("site %d comes after %d others", d.Site.number, i)
			}
			if failed := i%5 == 4; failed != errors.Is(d.Err, errDrawn) {
				t.Fatalf("site %d: %v", i, d.Err)
			} else if !failed {
				want, err := d.Station.Window(Options{Species: tall})
				if err != nil {
					t.Fatal(err)
				}
				if got := d.Windows[1]; !reflect.DeepEqual(got.Seasons, want.Seasons) ||
					!reflect.DeepEqual(got.Best, want.Best) || got.Season != want.Season {
					t.Errorf("site %d differs from its window", i)
				}
			}
			i++
		}
		if i != len(sites) {
			t.Errorf("%d sites of %d", i, len(sites))
		}
		if got := int(most.Load()); got > limit {
			t.Errorf("%d at a time, asked for %d", got, limit)
		}
	}
}

// What is complete is given, in order and without holes, and nothing runs on.
func TestRegionStops(t *testing.T) {
	before := runtime.NumGoroutine()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	sites, _ := drawnSites(200)
	n := 0
	for d := range Region(ctx, slices.Values(sites), RegionOptions{Jobs: 2}) {
		if d.Site.number != n || errors.Is(d.Err, context.Canceled) {
			t.Fatalf("site %d comes after %d others, %v", d.Site.number, n, d.Err)
		}
		if n++; n == 4 {
			cancel()
		}
	}
	if n < 4 || n > 12 || ctx.Err() == nil {
		t.Errorf("%d sites after a stop at 4", n)
	}
	for d := range Region(context.Background(), slices.Values(sites), RegionOptions{Jobs: 2}) {
		if d.Site.number == 3 {
			break
		}
	}
	for range 100 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("%d goroutines, %d before", runtime.NumGoroutine(), before)
}

// 1 January 1970 is a day like any other: nil alone stands for the record's last.
func TestRegionAsOf(t *testing.T) {
	sites, _ := drawnSites(1)
	for _, c := range []struct {
		asOf *climate.Day
		want int
	}{{nil, 2008}, {new(climate.Date(2011, 3, 1)), 2011}, {new(climate.Date(1970, 1, 1)), 1970}} {
		for d := range Region(context.Background(), slices.Values(sites), RegionOptions{AsOf: c.asOf}) {
			if d.Err != nil || d.Windows[0].Season != c.want {
				t.Errorf("as of %v: season %d, %v, want season %d", c.asOf, d.Windows[0].Season, d.Err, c.want)
			}
		}
	}
}

// A site that gives neither a station nor an error is an error of its own.
func TestRegionSiteWithoutStation(t *testing.T) {
	n := 0
	for d := range Region(context.Background(), slices.Values([]emptySite{{}, {}}), RegionOptions{}) {
		if n++; !errors.Is(d.Err, ErrNoStation) || d.Station != nil {
			t.Errorf("%v, %v", d.Station, d.Err)
		}
	}
	if n != 2 {
		t.Errorf("%d sites of 2", n)
	}
}

type emptySite struct{}

func (emptySite) Station(context.Context) (*Station, error) { return nil, nil }

// More jobs than a machine has memory for are not worked on at once.
func TestRegionOfAnyJobs(t *testing.T) {
	sites, _ := drawnSites(3)
	n := 0
	for range Region(context.Background(), slices.Values(sites), RegionOptions{Jobs: math.MaxInt}) {
		n++
	}
	if n != len(sites) {
		t.Errorf("%d sites of %d", n, len(sites))
	}
}
