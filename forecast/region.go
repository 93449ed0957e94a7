package forecast

import (
	"cmp"
	"context"
	"errors"
	"iter"
	"math"
	"runtime"
	"slices"
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
// error: it is nil, returns nil or a station that [NewStation] did not make, or ends its
// goroutine.
var ErrNoStation = errors.New("the site gave no station")

// RegionOptions say what is asked of every station. The zero value asks for the
// window of perennial ryegrass, as many stations at a time as there are
// processors.
type RegionOptions struct {
	Options []Options // one a species; nil: the zero Options
	// AsOf is today: where the options name no season, it is the one at or after
	// this day. With nil it is the last day of each record.
	AsOf *climate.Day
	// Today is the day by the clock. Where AsOf is nil and a record ended long before
	// it ([Station.RecordEnded]), the season planned is the one at or after Today, and
	// the next one where that is too late for every species. With nil every record is
	// taken to be current.
	Today *climate.Day
	// Sow is the day of sowing that the prospects are of; nil: of each species its last
	// safe date.
	Sow *climate.Day
	// SowAnyYear takes the day and month of Sow in the season planned at each station,
	// whatever its year.
	SowAnyYear bool
	Jobs       int // stations worked on at a time; 0: as many as there are processors; at most [MaxJobs]
}

// SiteDates are the dates of every species at one site.
type SiteDates[S Site] struct {
	Site      S
	Station   *Station   // nil where the site gave none
	Windows   []*Window  // one for each of the options, by [Station.Dates]
	Prospects []Prospect // one for each of the options
	Err       error      // why there are none
}

// A Prospect is what comes of sowing a species on one day at one station.
type Prospect struct {
	Sow       *climate.Day // nil where none was asked for and there is no last safe date
	Chance    float64      // that the stage is reached by the cutoff; NaN without Sow
	Low, High float64      // its interval, IntervalPercent wide
	Success   float64      // chance to establish and to live through winter, [Outlook.Success]
	Winter    *Winter      // nil without Sow
}

// Verdict is the verdict of the chance, "" without one.
func (p *Prospect) Verdict() Verdict {
	if p.Sow == nil {
		return ""
	}
	return VerdictOf(p.Chance)
}

// Prospect returns what the comparison says of one of its species.
func (c *Comparison) Prospect(x *ComparedSpecies) Prospect {
	o := x.Outlook
	return Prospect{Sow: &c.Sow, Chance: o.Chance, Low: o.Low, High: o.High, Success: x.Success, Winter: o.Winter}
}

// prospect returns what comes of sowing on a day by the past seasons of a window.
func (s *Station) prospect(w *Window, sow climate.Day) Prospect {
	p := Prospect{Sow: &sow, Chance: w.Chance(sow), Winter: s.Winters(w, []climate.Day{sow})[0]}
	p.Low, p.High = w.latest.interval(s.offset(w.Season, sow), p.Chance)
	o := Outlook{Options: w.Options, Chance: p.Chance, Winter: p.Winter}
	p.Success = o.Success()
	return p
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
// ctx.Err is not nil. No goroutine is left, also where the caller breaks off. It panics
// where there is no iterator.
func Region[S Site](ctx context.Context, sites iter.Seq[S], o RegionOptions) iter.Seq[SiteDates[S]] {
	if sites == nil {
		panic("forecast: a region without sites")
	}
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
					d := SiteDates[S]{Site: site, Err: ErrNoStation}
					defer func() { // also where the site ends the goroutine
						<-free
						answer <- d
					}()
					d.Station, d.Windows, d.Prospects, d.Err = at(ctx, &o, site)
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
func at(ctx context.Context, o *RegionOptions, site Site) (*Station, []*Window, []Prospect, error) {
	if err := ctx.Err(); err != nil {
		return nil, nil, nil, err
	}
	if site == nil {
		return nil, nil, nil, ErrNoStation
	}
	s, err := site.Station(ctx)
	if err != nil {
		return nil, nil, nil, err
	}
	if s == nil || s.means == nil {
		return nil, nil, nil, ErrNoStation
	}
	asked := o.Options
	if asked == nil {
		asked = make([]Options, 1)
	}
	station := s
	s, done := s.borrowing()
	defer done()
	today, ended := s.planFrom(o)
	season := s.Calendar.SeasonFor(today)
	if o.Sow != nil && !o.SowAnyYear {
		season = s.Calendar.SeasonHolding(*o.Sow)
	}
	windows, err := s.datesFrom(ctx, asked, season)
	// A record that ended long ago says nothing of this season: once that is too late
	// for every species, the next is planned.
	late := func(w *Window) bool { return w.Season == season && w.TooLate(today) }
	if err == nil && ended && (o.Sow == nil || o.SowAnyYear) &&
		!slices.ContainsFunc(windows, func(w *Window) bool { return !late(w) }) {
		windows, err = s.datesFrom(ctx, asked, season+1)
	}
	if err != nil {
		return station, nil, nil, err
	}
	prospects, err := s.prospects(o, windows, today)
	return station, windows, prospects, err
}

// prospects are what comes of sowing each species of the windows, on the day asked for or
// on its last safe date. The season so far counts, as in [Station.Compare], unless the
// record ends more than a year before the season: then past seasons alone say it.
func (s *Station) prospects(o *RegionOptions, windows []*Window, today climate.Day) ([]Prospect, error) {
	list := make([]Prospect, len(windows))
	if o.Sow == nil {
		for i, w := range windows {
			safe, ok := w.Safe()
			if !ok {
				nan := math.NaN()
				list[i] = Prospect{Chance: nan, Low: nan, High: nan, Success: nan}
				continue
			}
			list[i] = s.prospect(w, safe)
		}
		return list, nil
	}
	sow := *o.Sow
	if o.SowAnyYear {
		sow = s.Calendar.Day(windows[0].Season, s.Calendar.Offset(s.Calendar.SeasonHolding(sow), sow))
	}
	c, err := s.compare(windows, today, &sow)
	switch {
	case errors.Is(err, ErrOutsideRecord):
		for i, w := range windows {
			list[i] = s.prospect(w, sow)
		}
		return list, nil
	case err != nil:
		return nil, err
	}
	for i, w := range windows {
		list[i] = c.Prospect(c.of(w))
	}
	return list, nil
}

// planFrom is the day from which the next season is planned; ended reports that the
// record ended long before it.
func (s *Station) planFrom(o *RegionOptions) (day climate.Day, ended bool) {
	if o.AsOf != nil {
		return *o.AsOf, false
	}
	if o.Today != nil {
		if _, ended := s.RecordEnded(*o.Today); ended {
			return *o.Today, true
		}
	}
	return s.Record.Last(), false
}

// datesFrom works out the dates of every species for a season, unless the options name
// another.
func (s *Station) datesFrom(ctx context.Context, asked []Options, season int) ([]*Window, error) {
	windows := make([]*Window, len(asked))
	for i, x := range asked {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		x.Season = cmp.Or(x.Season, season)
		var err error
		if windows[i], err = s.Dates(x); err != nil {
			return nil, err
		}
	}
	return windows, nil
}
