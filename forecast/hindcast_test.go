package forecast

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"swardcast/climate"
)

func hindcast(t *testing.T, s *Station, o HindcastOptions) *Hindcast {
	t.Helper()
	h, err := s.Hindcast(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// heldAt is how often the date of a confidence held.
func heldAt(t *testing.T, h *Hindcast, percent float64) Held {
	t.Helper()
	i := slices.IndexFunc(h.Levels, func(x Held) bool { return x.Confidence == percent })
	if i < 0 {
		t.Fatalf("no level %g", percent)
	}
	return h.Levels[i]
}

// Generated seasons are exchangeable: judged from the earlier ones or from all the
// others, the last safe dates must hold as often as they say, and chances come
// as told.
func TestHindcastIsCalibrated(t *testing.T) {
	for _, leaveOneOut := range []bool{false, true} {
		held, n := map[float64]int{}, map[float64]int{}
		var brier, climatology float64
		for seed := range uint64(4) {
			s := station(t, 100+seed, 0, 30)
			h := hindcast(t, s, HindcastOptions{LeaveOneOut: leaveOneOut, Leads: []Lead{LeadTwo}})
			for _, l := range h.Levels {
				held[l.Confidence] += l.Count
				n[l.Confidence] += l.N
			}
			f, c := h.Brier(LeadTwo)
			brier, climatology = brier+f.Score, climatology+c.Score
			for _, e := range h.SoilError {
				if e != 0 {
					t.Fatal("the season differs from itself")
				}
			}
		}
		for c := range held {
			p := c / 100
			share, sd := float64(held[c])/float64(n[c]), math.Sqrt(p*(1-p)/float64(n[c]))
			if math.Abs(share-p) > 3.5*sd {
				t.Errorf("leave one out %v: the %g %% date held in %.3f of %d seasons (sd %.3f)",
					leaveOneOut, c, share, n[c], sd)
			}
		}
		if brier >= climatology {
			t.Errorf("leave one out %v: two weeks after sowing Brier %.3f, climatology %.3f",
				leaveOneOut, brier/4, climatology/4)
		}
	}
}

// A season is judged from earlier ones only, at least ten of them: what comes
// after it does not change a forecast of it.
func TestHindcastKnowsNoLaterSeason(t *testing.T) {
	s := station(t, 7, 0, 34)
	whole := hindcast(t, s, HindcastOptions{Options: Options{FirstSeason: 1990, LastSeason: 2100}})
	n := len(whole.Seasons)
	if n != len(whole.Past) || whole.Seasons[0] != 2000 || whole.Past[0] != FewSeasons ||
		whole.Past[n-1] != n-1+FewSeasons {
		t.Fatalf("judged %v from %v", whole.Seasons, whole.Past)
	}
	part := hindcast(t, s, HindcastOptions{Options: Options{FirstSeason: 1990, LastSeason: 2009}})
	if !slices.Equal(part.Cases, whole.Cases[:len(part.Cases)]) {
		t.Error("seasons after 2009 change the forecasts of those before")
	}
	// Without years the latest thirty before each are used, as a window does.
	h := hindcast(t, station(t, 7, 0, 45), HindcastOptions{})
	if slices.Max(h.Past) != MaxSeasons || len(h.Seasons) != MaxSeasons {
		t.Errorf("%d seasons judged from up to %d", len(h.Seasons), slices.Max(h.Past))
	}
}

// warming is a station whose air warms by so many °C a decade.
func warming(t *testing.T, seed uint64, perDecade float64, years int) *Station {
	t.Helper()
	rec := *station(t, seed, 0, years).Record
	rec.TMaxC, rec.TMinC = slices.Clone(rec.TMaxC), slices.Clone(rec.TMinC)
	for i := range rec.TMaxC {
		rise := perDecade * float64(i) / 3652.5
		rec.TMaxC[i] += rise
		rec.TMinC[i] += rise
	}
	s, err := NewStation(&rec)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A climate that warms or cools by 2 °C a decade makes every date off: the
// hindcast must show it, which leaving one season out hides.
func TestHindcastFailsWhereTheClimateMoves(t *testing.T) {
	for _, c := range []struct {
		perDecade   float64
		least, most float64 // of the share in which the 80 % date held
	}{{2, 0.93, 1}, {-2, 0, 0.55}} {
		s := warming(t, 21, c.perDecade, 40)
		h := hindcast(t, s, HindcastOptions{Options: Options{Trend: TrendOff}, Leads: []Lead{LeadSeason}})
		share, low, high := heldAt(t, h, 80).Share()
		if share < c.least || share > c.most || low <= 0.8 && 0.8 <= high {
			t.Errorf("%+g °C a decade: the 80 %% date held in %.2f (%.2f to %.2f) of %d seasons",
				c.perDecade, share, low, high, len(h.Seasons))
		}
		others := hindcast(t, s, HindcastOptions{LeaveOneOut: true, Leads: []Lead{LeadSeason}})
		if share, _, _ := heldAt(t, others, 80).Share(); math.Abs(share-0.8) > 0.1 {
			t.Errorf("%+g °C a decade: leaving one season out, the 80 %% date held in %.2f", c.perDecade, share)
		}
	}
}

// Half the trend of the air taken out of the past seasons brings the held shares
// of such a climate nearer to what they say.
func TestTrendHelpsWhereTheClimateMoves(t *testing.T) {
	for _, perDecade := range []float64{1.5, -1.5} {
		off := map[TrendRule]float64{}
		brier := map[TrendRule]float64{}
		for _, rule := range TrendRules() {
			n := 0.0
			for seed := range uint64(2) {
				s := warming(t, 40+seed, perDecade, 42)
				h := hindcast(t, s, HindcastOptions{Options: Options{Trend: rule}, Leads: []Lead{LeadSeason}})
				l := heldAt(t, h, 80)
				off[rule] += float64(l.Count)
				n += float64(l.N)
				f, _ := h.Brier(LeadSeason)
				brier[rule] += f.Score / 2
			}
			off[rule] = math.Abs(off[rule]/n - 0.8)
		}
		if !(off[TrendOn] < off[TrendOff] && brier[TrendOn] < brier[TrendOff]) {
			t.Errorf("%+g °C a decade: the held share is off by %.2f with the trend, %.2f without; Brier %.3f, %.3f",
				perDecade, off[TrendOn], off[TrendOff], brier[TrendOn], brier[TrendOff])
		}
	}
}

// Sensors that show a colder soil than the estimate make the dates too late: they
// hold less often than against the estimate itself.
func TestHindcastAgainstSensors(t *testing.T) {
	s := station(t, 23, 0, 40)
	sensor := func(shift float64) *Station {
		soil5, soil10 := slices.Clone(s.Soil.Soil5C), slices.Clone(s.Soil.Soil10C)
		for i := range soil5 {
			soil5[i] += shift
			soil10[i] += shift
			if s.Record.Day(i) < climate.Date(2005, 1, 1) {
				soil5[i] = math.NaN() // buried later than the thermometer was put up
			}
		}
		truth, err := s.WithSoil(soil5, soil10)
		if err != nil {
			t.Fatal(err)
		}
		return truth
	}
	for _, c := range []struct {
		shift       float64
		least, most float64
	}{{0, 0.65, 0.95}, {-3, 0, 0.5}, {3, 0.95, 1}} {
		h := hindcast(t, s, HindcastOptions{Truth: sensor(c.shift), Leads: []Lead{LeadSeason}})
		if h.Seasons[0] != 2005 || h.Past[0] < 14 {
			t.Errorf("judged %v from %v", h.Seasons, h.Past)
		}
		share, _, _ := heldAt(t, h, 80).Share()
		if share < c.least || share > c.most {
			t.Errorf("soil %+g °C off the estimate: the 80 %% date held in %.2f of %d seasons",
				c.shift, share, len(h.Seasons))
		}
		if off := MeanAbsolute(h.SoilError); (off == 0) != (c.shift == 0) {
			t.Errorf("soil %+g °C off the estimate: its latest date misses by %g days", c.shift, off)
		}
	}
}

func TestHindcastStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := station(t, 1, 0, 20).Hindcast(ctx, HindcastOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	for _, years := range []int{7, 10} { // ten seasons leave none to judge
		_, err := station(t, 1, 0, years).Hindcast(context.Background(), HindcastOptions{})
		if !errors.Is(err, ErrFewSeasons) {
			t.Errorf("%d seasons: %v", years, err)
		}
	}
	if h := hindcast(t, station(t, 1, 0, 11), HindcastOptions{}); len(h.Seasons) != 1 {
		t.Errorf("eleven seasons: judged %v", h.Seasons)
	}
}
