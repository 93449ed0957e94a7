package forecast

import (
	"context"
	"errors"
	"iter"
	"runtime"
	"sync"

	"swardcast/climate"
)

// A Site is one station of a region before its record is read.
type Site interface {
	// Station reads the record and makes a station of it ([NewStation]). It is
	// called once, at the same time as those of other sites.
	Station(context.Context) (*Station, error)
}

// ErrNoStation is the error of a [Site] that gives neither a station nor an
// error.
var ErrNoStation = errors.New("the site gave no station")

// RegionOptions say what is asked of every station. The zero value asks for the
// window of perennial ryegrass, as many stations at a time as there are
// processors.
type RegionOptions struct {
	Options []Options // one a species; nil: the zero Options
	// AsOf is today: where the options name no season, it is the one at or after
	// this day. With nil it is the last day of each record.
	AsOf *climate.Day
	Jobs int // stations worked on at a time; 0: as many as there are processors; at most [MaxJobs]
}

// SiteDates are the dates of every species at one site.
type SiteDates[S Site] struct {
	Site    S
	Station *Station  // nil where the site gave none
	Windows []*Window // one for each of the options, by [Station.Dates]
	Err     error     // why there are none
}

// MaxJobs is how many sites are worked on at a time at most: more would take memory and
// gain nothing.
const MaxJobs = 256

// Region works out the dates of every site. They come in the order of the sites,
// whatever finishes first. A site that fails comes with its error, and the others
// follow. Only a few sites for each job are held in memory at a time.
//
// sites is iterated over in another goroutine, ahead of the results. When ctx is
// done Region ends after the last site that is complete with all before it; then
// ctx.Err is not nil. No goroutine is left, also where the caller breaks off.
func Region[S Site](ctx context.Context, sites iter.Seq[S], o RegionOptions) iter.Seq[SiteDates[S]] {
	jobs := o.Jobs
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	jobs = min(jobs, MaxJobs)
	return func(yield func(SiteDates[S]) bool) {
		ctx, stop := context.WithCancel(ctx)
		var running sync.WaitGroup
		defer running.Wait()
		defer stop()
		// Answers to come, in the order of the sites. The capacity is how far
		// ahead of a slow site the others may be.
		asked := make(chan chan SiteDates[S], 2*jobs)
		free := make(chan struct{}, jobs)
		running.Go(func() {
			defer close(asked)
			for site := range sites {
				answer := make(chan SiteDates[S], 1)
				select {
				case asked <- answer:
				case <-ctx.Done():
					return
				}
				free <- struct{}{}
				running.Go(func() {
					d := SiteDates[S]{Site: site}
					d.Station, d.Windows, d.Err = o.at(ctx, site)
					<-free
					answer <- d
				})
			}
		})
		for answer := range asked {
			d := <-answer
			if d.Err != nil && ctx.Err() != nil || !yield(d) {
				return
			}
		}
	}
}

// at works out the dates of one site.
func (o *RegionOptions) at(ctx context.Context, site Site) (*Station, []*Window, error) {
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	s, err := site.Station(ctx)
	if err != nil {
		return nil, nil, err
	}
	if s == nil {
		return nil, nil, ErrNoStation
	}
	asked := o.Options
	if asked == nil {
		asked = make([]Options, 1)
	}
	asOf := s.Record.Last()
	if o.AsOf != nil {
		asOf = *o.AsOf
	}
	windows := make([]*Window, len(asked))
	for i, x := range asked {
		if err := ctx.Err(); err != nil {
			return s, nil, err
		}
		if x.Season == 0 {
			x.Season = s.Calendar.SeasonFor(asOf)
		}
		if windows[i], err = s.Dates(x); err != nil {
			return s, nil, err
		}
	}
	return s, windows, nil
}
