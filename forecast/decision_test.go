package forecast

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
)

func decided(t *testing.T, e *Ensemble, sow climate.Day, stand Stand, supply Supply) *Decision {
	t.Helper()
	x, err := e.Outlook(Options{}, sow)
	if err != nil {
		t.Fatal(err)
	}
	d, err := e.Decide(x, stand, supply)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range d.Choices {
		if !(c.Low <= c.Cover+0.35 && c.Low <= c.High && c.High <= 1 && c.Cover >= 0 && c.Cover <= 1) || math.IsNaN(c.Worth) {
			t.Errorf("%+v: %+v", stand, c)
		}
	}
	return d
}

// The cases that anyone experienced would agree on.
func TestDecide(t *testing.T) {
	s := station(t, 4, 0, 20)
	sow := climate.Date(2003, time.October, 5)
	for _, c := range []struct {
		name   string
		sow    climate.Day
		after  climate.Day
		stand  Stand
		supply Supply
		want   Action
	}{
		{"thin after two weeks, no seed found, seed at hand", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{AtHand: 1}, SowNow},
		{"the same with half of the seed", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{AtHand: 0.5}, SowNow},
		{"the same with all of it to buy", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{Buys: true}, SowNow},
		{"bare two days after sowing", sow, 2, Stand{}, Supply{AtHand: 1}, WaitUntil},
		{"bare five days after sowing into cool soil", climate.Date(2003, time.November, 5), 5, Stand{}, Supply{AtHand: 1}, Stop},
		{"thin, but odds under one in ten", sow, 40, Stand{Cover: 0.3}, Supply{AtHand: 1}, Stop},
		{"85 % up", sow, 14, Stand{Cover: 0.85}, Supply{AtHand: 1}, LeaveIt},
		{"all up", sow, 14, Stand{Cover: 1}, Supply{AtHand: 1}, LeaveIt},
		{"no seed and none to buy", sow, 14, Stand{Cover: 0.4}, Supply{}, LeaveIt},
	} {
		d := decided(t, ensemble(t, s, 2003, c.sow+c.after), c.sow, c.stand, c.supply)
		if d.Best.Action != c.want {
			t.Errorf("%s: %s, want %s: %+v", c.name, d.Best.Action, c.want, d.Choices)
		}
		if c.want == WaitUntil && (d.Best.On <= c.sow+c.after || d.Best.On > *d.Report.ClearOn) {
			t.Errorf("%s: look on %s", c.name, d.Best.On)
		}
		if (c.want == SowNow) != (d.WorthUntil != nil) && c.want != WaitUntil {
			t.Errorf("%s: worth until %v", c.name, d.WorthUntil)
		}
	}
	x, err := ensemble(t, s, 2003, sow+3).Outlook(Options{}, sow)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ensemble(t, s, 2003, sow+3).Decide(x, Stand{Cover: 0.4}, Supply{AtHand: math.NaN()}); !errors.Is(err, ErrOptions) {
		t.Errorf("seed at hand NaN: %v", err)
	}
}

// Over random seasons: with the same cover seen, a later look never goes from sowing
// back to waiting; more cover never asks for more; more seed never for less; what
// sowing adds is never negative but for what raking destroys.
func TestDecisionsAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("many decisions")
	}
	for seed := range uint64(3) {
		s := station(t, 40+seed, float64(seed%3)-1, 16)
		season := 1999 + int(seed)
		sow := climate.Date(season, time.September, 10) + climate.Day(9*seed)
		before := map[float64]Action{}
		for after := climate.Day(1); after < 45; after += 3 {
			e := ensemble(t, s, season, sow+after)
			thinner := Action("")
			for _, cover := range []float64{0, 0.2, 0.4, 0.6, 0.8, 1} {
				d := decided(t, e, sow, Stand{Cover: cover}, Supply{AtHand: 1})
				if d.Report.MoreThanCan {
					continue
				}
				got := d.Best.Action
				if before[cover] == SowNow && got == WaitUntil {
					t.Errorf("sown %s, cover %.1f: sow, then on day %d wait", sow, cover, after)
				}
				if got == SowNow && (thinner == LeaveIt || thinner == WaitUntil && cover > 0.5) {
					t.Errorf("sown %s, day %d: %s a thinner stand, sow one of %.1f", sow, after, thinner, cover)
				}
				half := decided(t, e, sow, Stand{Cover: cover}, Supply{AtHand: 0.5})
				if half.Best.Action == SowNow && got == LeaveIt {
					t.Errorf("sown %s, day %d, cover %.1f: half of the seed is sown, all of it is not", sow, after, cover)
				}
				before[cover], thinner = got, got
			}
		}
	}
}
