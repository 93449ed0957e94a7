package forecast_test

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/forecast"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// invented returns a station of invented weather, 1990 to 2020.
func invented(t testing.TB) *forecast.Station {
	t.Helper()
	s, err := forecast.NewStation(weather.Generate(weather.Piedmont(), 1, climate.Date(1990, 1, 1),
		climate.Date(2020, 6, 30)))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func species(t testing.TB, id string, change func(*turf.Species)) turf.Species {
	t.Helper()
	sp, ok := turf.Find(id)
	if !ok {
		t.Fatalf("no species %s", id)
	}
	if change != nil {
		change(&sp)
	}
	return sp
}

func host(t testing.TB, change func(*turf.Host)) turf.Host {
	t.Helper()
	h, ok := turf.FindHost("bermudagrass")
	if !ok {
		t.Fatal("no bermudagrass")
	}
	change(&h)
	return h
}

// Options that cannot be are an error of every question, and the error says which.
func TestInvalidOptions(t *testing.T) {
	s := invented(t)
	e, err := s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		o    forecast.Options
		also error // beside ErrOptions
	}{
		{"a species without constants", forecast.Options{Species: turf.Species{ID: "mine"}}, turf.ErrSpecies},
		{"constants without an ID that do not ascend",
			forecast.Options{Species: species(t, "tall-fescue",
				func(sp *turf.Species) { sp.ID, sp.Mow.Value = "", 0 })}, turf.ErrSpecies},
		{"a base that is NaN", forecast.Options{Species: species(t, "tall-fescue",
			func(sp *turf.Species) { sp.Base.Value = math.NaN() })}, turf.ErrSpecies},
		{"a need without end", forecast.Options{Species: species(t, "tall-fescue",
			func(sp *turf.Species) { sp.Tillered.Value = math.Inf(1) })}, turf.ErrSpecies},
		{"a host without thresholds", forecast.Options{Host: turf.Host{ID: "mine"}}, turf.ErrHost},
		{"an opening at 20 cm", forecast.Options{Host: host(t, func(h *turf.Host) { h.Open.Depth = 20 })},
			soil.ErrDepth},
		{"dormancy at no depth", forecast.Options{Host: host(t, func(h *turf.Host) { h.Dormancy.Depth = 0 })},
			soil.ErrDepth},
		{"an opening at NaN", forecast.Options{Host: host(t, func(h *turf.Host) { h.Open.TempC = math.NaN() })},
			climate.ErrThreshold},
		{"dormancy at infinity", forecast.Options{Host: host(t,
			func(h *turf.Host) { h.Dormancy.TempC = math.Inf(-1) })}, climate.ErrThreshold},
		{"a freeze at NaN", forecast.Options{FreezeC: new(math.NaN())}, climate.ErrThreshold},
		{"a freeze at infinity", forecast.Options{FreezeC: new(math.Inf(1))}, climate.ErrThreshold},
		{"a stage that is none", forecast.Options{Stage: "flowering"}, nil},
		{"a cutoff that is none", forecast.Options{Cutoff: "snow"}, nil},
		{"a confidence of 100", forecast.Options{Confidence: 100}, nil},
		{"a confidence that is NaN", forecast.Options{Confidence: math.NaN()}, nil},
		{"seasons that end before they begin", forecast.Options{FirstSeason: 2010, LastSeason: 2000}, nil},
		{"a season before the calendar", forecast.Options{Season: -1}, nil},
		{"a season beyond it", forecast.Options{LastSeason: 10_000}, nil},
		{"a rule with negative days", forecast.Options{Completeness: climate.Completeness{MaxRun: -1}}, nil},
	} {
		_, window := s.Window(c.o)
		_, dates := s.Dates(c.o)
		_, ensemble := s.Ensemble(c.o, forecast.EnsembleOptions{})
		_, outlook := e.Outlook(c.o, e.AsOf)
		_, hindcast := s.Hindcast(context.Background(), forecast.HindcastOptions{Options: c.o})
		for of, err := range map[string]error{"Window": window, "Dates": dates, "Ensemble": ensemble,
			"Outlook": outlook, "Hindcast": hindcast} {
			if !errors.Is(err, forecast.ErrOptions) || c.also != nil && !errors.Is(err, c.also) {
				t.Errorf("%s: %s: %v", c.name, of, err)
			}
		}
	}
}

// The zero options are the usual ones; species, hosts and rules of one's own need
// no ID or name.
func TestOwnOptions(t *testing.T) {
	s := invented(t)
	usual, err := s.Dates(forecast.Options{})
	if err != nil {
		t.Fatal(err)
	}
	own := forecast.Options{
		Species:      species(t, "perennial-ryegrass", func(sp *turf.Species) { sp.ID = "" }),
		Host:         host(t, func(h *turf.Host) { h.ID = "" }),
		Completeness: climate.Completeness{MaxRun: climate.WMO().MaxRun, MaxTotal: climate.WMO().MaxTotal},
	}
	got, err := s.Dates(own)
	if err != nil {
		t.Fatal(err)
	}
	a, okA := usual.Safe()
	b, okB := got.Safe()
	if !okA || !okB || a != b {
		t.Errorf("%v and %v", a, b)
	}
	slow, err := s.Dates(forecast.Options{Species: species(t, "perennial-ryegrass", func(sp *turf.Species) {
		sp.ID = ""
		sp.Tillered.Value += 100
	})})
	if err != nil {
		t.Fatal(err)
	}
	if c, ok := slow.Safe(); !ok || c >= a {
		t.Errorf("a slower species without an ID has the date of ryegrass: %v, %v", c, a)
	}
}

// One bound is enough: the other is open.
func TestSeasonBounds(t *testing.T) {
	s := invented(t)
	for _, c := range []struct {
		o            forecast.Options
		first, last_ int
		n            int
	}{
		{forecast.Options{FirstSeason: 2010}, 2010, 2019, 10},
		{forecast.Options{LastSeason: 1999}, 1990, 1999, 10},
		{forecast.Options{FirstSeason: 1995, LastSeason: 1999}, 1995, 1999, 5},
	} {
		w, err := s.Dates(c.o)
		if err != nil {
			t.Errorf("%d to %d: %v", c.o.FirstSeason, c.o.LastSeason, err)
			continue
		}
		if y := w.Years(); len(y) != c.n || y[0] != c.first || y[len(y)-1] != c.last_ {
			t.Errorf("%d to %d: %v", c.o.FirstSeason, c.o.LastSeason, y)
		}
	}
}

// What an answer says of its options is the caller's to change: no other answer
// changes with it.
func TestAnswersShareNothing(t *testing.T) {
	s := invented(t)
	freeze := -3.0
	w, err := s.Dates(forecast.Options{FreezeC: &freeze})
	if err != nil {
		t.Fatal(err)
	}
	w.Options.Completeness.MaxRun = 99
	*w.Options.FreezeC = 99
	if climate.WMO().MaxRun != 4 || freeze != -3 {
		t.Errorf("the rule allows %d days in a row, the freeze is at %g °C", climate.WMO().MaxRun, freeze)
	}
	m := soil.Turf()
	m.Coef5[0] += 50
	if soil.Turf().Coef5[0] == m.Coef5[0] {
		t.Error("the model of the soil was changed")
	}
	r := soil.ResidualAt(soil.Depth5)
	r.SiteSD[0] += 50
	if soil.ResidualAt(soil.Depth5).SiteSD[0] == r.SiteSD[0] {
		t.Error("the error of the soil was changed")
	}
}

// An ensemble answers for its own season, and for the two months before it.
func TestSowDateOfAnotherSeason(t *testing.T) {
	s := invented(t)
	asOf := climate.Date(2019, time.October, 1)
	e, err := s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: &asOf})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		sow climate.Day
		ok  bool
	}{
		{climate.Date(2017, time.October, 1), false},
		{climate.Date(2018, time.October, 1), false},
		{climate.Date(2019, time.April, 29), false},
		{climate.Date(2019, time.May, 1), true},
		{climate.Date(2019, time.October, 1), true},
		{climate.Date(2020, time.April, 30), true},
		{climate.Date(2020, time.May, 1), false},
	} {
		x, err := e.Outlook(forecast.Options{}, c.sow)
		if c.ok && err != nil || !c.ok && !errors.Is(err, forecast.ErrSowDate) {
			t.Errorf("sown on %v: %v, %v", c.sow, x, err)
		}
	}
}

func TestMisuseOfEnsembles(t *testing.T) {
	s := invented(t)
	asOf := climate.Date(2019, time.October, 1)
	infinite := climate.NewRecord(climate.Place{}, asOf+1, 5)
	for i := range 5 {
		infinite.TMaxC[i], infinite.TMinC[i] = math.Inf(1), 10
	}
	short := climate.NewRecord(climate.Place{}, asOf+1, 5)
	short.TMinC = short.TMinC[:2]
	for name, at := range map[string]forecast.EnsembleOptions{
		"a past season twice":    {AsOf: &asOf, Past: []int{2000, 2001, 2000}},
		"the season as its past": {AsOf: &asOf, Past: []int{2000, 2019}},
		"an infinite forecast":   {AsOf: &asOf, Ahead: infinite},
		"an uneven forecast":     {AsOf: &asOf, Ahead: short},
	} {
		if e, err := s.Ensemble(forecast.Options{}, at); !errors.Is(err, forecast.ErrOptions) {
			t.Errorf("%s: %v, %v", name, e, err)
		}
	}
	e, err := s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: &asOf})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if d, err := e.ColdSoil(asOf, c); !errors.Is(err, climate.ErrThreshold) {
			t.Errorf("cold soil at %g °C: %v, %v", c, d, err)
		}
	}
	if d, err := e.ColdSoil(asOf, -40); d != nil || err != nil {
		t.Errorf("soil at −40 °C: %v, %v", d, err)
	}
	// The day 1970-01-01 is a day, long before this record.
	_, err = s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: new(climate.Day(0))})
	if !errors.Is(err, forecast.ErrOutsideRecord) {
		t.Errorf("as of 1970-01-01: %v", err)
	}
}

func TestMisuseOfJudge(t *testing.T) {
	s := invented(t)
	at := func(asOf climate.Day) *forecast.Ensemble {
		e, err := s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: &asOf})
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	e, before := at(climate.Date(2019, time.October, 20)), at(climate.Date(2018, time.October, 20))
	outlook := func(e *forecast.Ensemble, sow climate.Day) *forecast.Outlook {
		x, err := e.Outlook(forecast.Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	first := outlook(e, climate.Date(2019, time.October, 1))
	if _, err := e.Judge(first, forecast.Stand{Cover: 0.4}); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		first *forecast.Outlook
		stand forecast.Stand
	}{
		"a cover over 1":         {first, forecast.Stand{Cover: 1.1}},
		"a cover under 0":        {first, forecast.Stand{Cover: -0.1}},
		"a cover that is NaN":    {first, forecast.Stand{Cover: math.NaN()}},
		"seed that is neither":   {first, forecast.Stand{Cover: 0.4, Found: "lots"}},
		"a sowing to come":       {outlook(e, climate.Date(2019, time.November, 1)), forecast.Stand{Cover: 0.4}},
		"a sowing the year past": {outlook(before, climate.Date(2018, time.October, 1)), forecast.Stand{Cover: 0.4}},
	} {
		if r, err := e.Judge(c.first, c.stand); !errors.Is(err, forecast.ErrStand) {
			t.Errorf("%s: %v, %v", name, r, err)
		}
	}
}

func TestMisuseOfStations(t *testing.T) {
	s := invented(t)
	n := s.Record.Len()
	for _, c := range [][2]int{{0, 0}, {n - 1, n}, {n, n - 1}, {n + 1, n + 1}} {
		if _, err := s.WithSoil(make([]float64, c[0]), make([]float64, c[1])); !errors.Is(err, climate.ErrRecord) {
			t.Errorf("soil of %d and %d days for a record of %d: %v", c[0], c[1], n, err)
		}
	}
	for name, spoil := range map[string]func(*climate.Record){
		"no latitude":        func(r *climate.Record) { r.Place.Latitude = nil },
		"the zero place":     func(r *climate.Record) { r.Place = climate.Place{} },
		"an uneven record":   func(r *climate.Record) { r.TMinC = r.TMinC[:100] },
		"an infinite value":  func(r *climate.Record) { r.TMaxC[100] = math.Inf(1) },
		"an empty record":    func(r *climate.Record) { *r = *climate.NewRecord(r.Place, r.First, 0) },
		"a latitude off it":  func(r *climate.Record) { r.Place.Latitude = new(-91.0) },
		"a latitude of NaN":  func(r *climate.Record) { r.Place.Latitude = new(math.NaN()) },
		"the other half":     func(r *climate.Record) { r.Place.Latitude = new(-35.4) },
		"forty days of 2020": func(r *climate.Record) { *r = *r.Until(r.First + 39) },
	} {
		want := map[string]error{
			"no latitude": forecast.ErrNoLatitude, "the zero place": forecast.ErrNoLatitude,
			"an empty record": climate.ErrTooShort, "forty days of 2020": climate.ErrTooShort,
			"the other half": forecast.ErrHemisphere,
		}
		r := *s.Record
		r.TMaxC, r.TMinC = slices.Clone(r.TMaxC), slices.Clone(r.TMinC)
		spoil(&r)
		_, err := forecast.NewStation(&r)
		target, named := want[name]
		if !named {
			target = climate.ErrRecord
		}
		if !errors.Is(err, target) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The display has the letters of the ascending order, whatever the order given.
func TestCompactLettersInAnyOrder(t *testing.T) {
	list := turf.All()
	need := func(a, b turf.Species) int { return int(a.ThermalTime(turf.Mow) - b.ThermalTime(turf.Mow)) }
	slices.SortStableFunc(list, need)
	want := map[string]string{}
	for i, l := range forecast.CompactLetters(list, turf.Mow) {
		want[list[i].ID] = l
	}
	slices.Reverse(list)
	for i, l := range forecast.CompactLetters(list, turf.Mow) {
		if l != want[list[i].ID] {
			t.Errorf("%s: %q, in ascending order %q", list[i].ID, l, want[list[i].ID])
		}
	}
	if want["perennial-ryegrass"] == want["kentucky-bluegrass"] || want["annual-ryegrass"] != "a" {
		t.Errorf("letters %v", want)
	}
}

// panicOf is what a call panics with, "" for nothing.
func panicOf(f func()) (text string) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case string:
			text = r
		case error:
			text = r.Error()
		}
	}()
	f()
	return ""
}

// What is not there is an error, not a fault of the program.
func TestNothingGiven(t *testing.T) {
	if _, err := forecast.NewStation(nil); !errors.Is(err, climate.ErrRecord) {
		t.Errorf("a station of no record: %v", err)
	}
	s := invented(t)
	e, err := s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: new(climate.Date(2019, 10, 20))})
	if err != nil {
		t.Fatal(err)
	}
	for name, first := range map[string]*forecast.Outlook{"none": nil, "the zero outlook": {}} {
		if _, err := e.Judge(first, forecast.Stand{Cover: 0.4}); !errors.Is(err, forecast.ErrStand) {
			t.Errorf("%s judged: %v", name, err)
		}
		if _, err := e.Decide(first, forecast.Stand{Cover: 0.4}, forecast.Supply{}); !errors.Is(
			err,
			forecast.ErrStand,
		) {
			t.Errorf("%s decided: %v", name, err)
		}
	}
	w, x := new(forecast.Window), new(forecast.Outlook)
	if _, ok := w.LastInTime(80); ok || !math.IsNaN(w.Chance(0)) || w.TooLate(0) {
		t.Error("the zero window has a date")
	}
	if _, ok := x.LastSafe(80); ok {
		t.Error("the zero outlook has a date")
	}
	if _, ok := (forecast.Dates{}).At(0.5); ok {
		t.Error("the zero dates have one")
	}
	if list, err := e.Outlooks(forecast.Options{}, nil); err != nil || len(list) != 0 {
		t.Errorf("no sowing: %v, %v", list, err)
	}
}

// An outlook belongs to its ensemble: that of another day, of the same season, is refused.
func TestOutlookOfAnotherEnsemble(t *testing.T) {
	s := invented(t)
	var made []*forecast.Ensemble
	for _, day := range []int{20, 21} {
		e, err := s.Ensemble(
			forecast.Options{},
			forecast.EnsembleOptions{AsOf: new(climate.Date(2019, time.October, day))},
		)
		if err != nil {
			t.Fatal(err)
		}
		made = append(made, e)
	}
	x, err := made[0].Outlook(forecast.Options{}, climate.Date(2019, time.October, 1))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := made[0].Judge(x, forecast.Stand{Cover: 0.4}); err != nil {
		t.Error(err)
	}
	if _, err := made[1].Judge(x, forecast.Stand{Cover: 0.4}); !errors.Is(err, forecast.ErrStand) {
		t.Errorf("judged by the ensemble of another day: %v", err)
	}
}

func TestMisuseOfRowsAhead(t *testing.T) {
	s := invented(t)
	asOf := climate.Date(2019, time.October, 1)
	rows := climate.NewRecord(climate.Place{}, asOf+1, 5)
	for i := range 5 {
		rows.TMaxC[i], rows.TMinC[i] = 25, 12
	}
	rained := *rows
	rained.PrecipMM = []float64{1}
	for name, at := range map[string]forecast.EnsembleOptions{
		"errors of no rows":     {AsOf: &asOf, AheadSDC: []float64{1, 2}},
		"fewer errors":          {AsOf: &asOf, Ahead: rows, AheadSDC: []float64{1, 2}},
		"more errors":           {AsOf: &asOf, Ahead: rows, AheadSDC: make([]float64, 6)},
		"an error below 0":      {AsOf: &asOf, Ahead: rows, AheadSDC: []float64{1, 1, 1, 1, -1}},
		"rain of another count": {AsOf: &asOf, Ahead: &rained},
	} {
		if e, err := s.Ensemble(forecast.Options{}, at); !errors.Is(err, forecast.ErrOptions) {
			t.Errorf("%s: %v, %v", name, e, err)
		}
	}
	for name, sd := range map[string][]float64{
		"not known": {math.NaN(), 1, math.NaN(), 1, 1}, "none": {0, 0, 0, 0, 0},
	} {
		at := forecast.EnsembleOptions{AsOf: &asOf, Ahead: rows, AheadSDC: sd}
		if _, err := s.Ensemble(forecast.Options{}, at); err != nil {
			t.Errorf("errors %s: %v", name, err)
		}
	}
}

func TestMisuseOfSoil(t *testing.T) {
	s := invented(t)
	first := s.Record.First
	for name, from := range map[string]climate.Day{"back by a day": first + 10, "back by years": first + 4000} {
		if _, err := s.SoilSpread(soil.Depth5, from, first+9); !errors.Is(err, forecast.ErrOptions) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if got, err := s.SoilSpread(soil.Depth5, first, first); err != nil || len(got) != 1 {
		t.Errorf("one day: %v, %v", got, err)
	}
	if _, err := s.SoilSpread(7, first, first); !errors.Is(err, soil.ErrDepth) {
		t.Errorf("at 7 cm: %v", err)
	}
	if got := s.SoilDays(first+10, first+9); len(got) != 0 {
		t.Errorf("days back: %v", got)
	}
	n := s.Record.Len()
	for _, c := range []float64{math.Inf(1), math.Inf(-1)} {
		sensor := make([]float64, n)
		sensor[7] = c
		if _, err := s.WithSoil(sensor, make([]float64, n)); !errors.Is(err, climate.ErrRecord) {
			t.Errorf("soil of %g °C at 5 cm: %v", c, err)
		}
		if _, err := s.WithSoil(make([]float64, n), sensor); !errors.Is(err, climate.ErrRecord) {
			t.Errorf("soil of %g °C at 10 cm: %v", c, err)
		}
	}
	for _, c := range []float64{math.NaN(), math.Inf(1)} {
		if _, err := s.WithSoilOffset(c); !errors.Is(err, climate.ErrThreshold) {
			t.Errorf("soil warmer by %g °C: %v", c, err)
		}
		if _, err := s.SoilYear(soil.Depth5, []float64{10, c}); !errors.Is(err, climate.ErrThreshold) {
			t.Errorf("a crossing of %g °C: %v", c, err)
		}
	}
	if _, _, err := s.Calibrate(nil); !errors.Is(err, soil.ErrReading) {
		t.Errorf("no readings: %v", err)
	}
}

func TestMisuseOfHindcasts(t *testing.T) {
	s := invented(t)
	for name, leads := range map[string][]forecast.Lead{"no lead": {""}, "a month": {forecast.LeadSow, "month"}} {
		_, err := s.Hindcast(context.Background(), forecast.HindcastOptions{Leads: leads})
		if !errors.Is(err, forecast.ErrOptions) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A place is a site that gives what it says.
type place func() (*forecast.Station, error)

func (p place) Station(context.Context) (*forecast.Station, error) { return p() }

// A site that gives nothing, in whatever way, has its error, and the others follow.
func TestSitesThatGiveNothing(t *testing.T) {
	s := invented(t)
	good := place(func() (*forecast.Station, error) { return s, nil })
	failure := errors.New("the file cannot be read")
	sites := []forecast.Site{
		good,
		place(func() (*forecast.Station, error) { return nil, nil }),
		nil,
		place(func() (*forecast.Station, error) { return new(forecast.Station), nil }),
		place(func() (*forecast.Station, error) { runtime.Goexit(); return s, nil }),
		place(func() (*forecast.Station, error) { return nil, failure }),
		good,
	}
	none := forecast.ErrNoStation
	want := []error{nil, none, none, none, none, failure, nil}
	for _, jobs := range []int{1, 3} {
		k := 0
		for d := range forecast.Region(context.Background(), slices.Values(sites), forecast.RegionOptions{Jobs: jobs}) {
			if !errors.Is(d.Err, want[k]) || (want[k] == nil) != (len(d.Windows) == 1) {
				t.Errorf("%d jobs, site %d: %v", jobs, k, d.Err)
			}
			k++
		}
		if k != len(sites) {
			t.Errorf("%d jobs: %d of %d sites", jobs, k, len(sites))
		}
	}
	nowhere := func() { forecast.Region[forecast.Site](context.Background(), nil, forecast.RegionOptions{}) }
	if got := panicOf(nowhere); got != "forecast: a region without sites" {
		t.Errorf("no iterator: panic %q", got)
	}
}
