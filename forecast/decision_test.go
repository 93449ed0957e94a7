package forecast

import (
	"errors"
	"fmt"
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
		if !(c.Low <= c.Cover+0.35 && c.Low <= c.High && c.High <= 1 && c.Cover >= 0 && c.Cover <= 1) ||
			math.IsNaN(c.Worth) {
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
		{"the same with all of it to buy", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{Buys: true}, BuySeed},
		{"the same with a handful at hand", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{AtHand: 0.02, Buys: true}, BuySeed},
		{"the same with half at hand, and more to buy", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{AtHand: 0.5, Buys: true}, SowNow},
		{"the same with nothing known of the seed", sow, 14, Stand{Cover: 0.4, Found: NoSeed}, Supply{Unknown: true}, SowNow},
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
		if d.Sows() != (d.WorthUntil != nil) && c.want != WaitUntil {
			t.Errorf("%s: worth until %v", c.name, d.WorthUntil)
		}
	}
	x, err := ensemble(t, s, 2003, sow+3).Outlook(Options{}, sow)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ensemble(t, s, 2003, sow+3).Decide(x, Stand{Cover: 0.4}, Supply{AtHand: math.NaN()}); !errors.Is(
		err,
		ErrOptions,
	) {
		t.Errorf("seed at hand NaN: %v", err)
	}
}

// Over random seasons, whatever the supply: with the same cover seen, a later look
// never goes from sowing or leaving back to waiting, and never waits once nearly all
// surviving seed is up; a thicker stand is never sown where a thinner one is left, and
// expects no less cover; more seed is never a reason to leave a stand.
func TestDecisionsAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("many decisions")
	}
	supplies := []Supply{{AtHand: 1}, {AtHand: 0.5}, {Buys: true}, {AtHand: 0.25, Buys: true}, {Unknown: true}}
	covers := []float64{0, 0.2, 0.4, 0.6, 0.8, 1}
	seen := map[Action]int{}
	for seed := range uint64(4) {
		s := station(t, 40+seed, float64(seed%3)-1, 16)
		season := 1999 + int(seed)
		sow := climate.Date(season, time.September, 10) + climate.Day(9*seed)
		type key struct {
			supply Supply
			cover  float64
		}
		before := map[key]Action{}
		for after := climate.Day(1); after < 45; after += 3 {
			e := ensemble(t, s, season, sow+after)
			first, err := e.Outlook(Options{}, sow)
			if err != nil {
				t.Fatal(err)
			}
			p, err := e.prospect(first)
			if err != nil {
				t.Fatal(err)
			}
			decide := func(cover float64, supply Supply) *Decision {
				report, err := e.Judge(first, Stand{Cover: cover})
				if err != nil {
					t.Fatal(err)
				}
				return p.decide(Stand{Cover: cover}, supply, report)
			}
			for _, supply := range supplies {
				thinner := (*Decision)(nil)
				for _, cover := range covers {
					d := decide(cover, supply)
					if d.Report.MoreThanCan {
						continue
					}
					got, k := d.Best.Action, key{supply, cover}
					seen[got]++
					at := fmt.Sprintf("sown %s, day %d, cover %.1f, supply %+v", sow, after, cover, supply)
					was := before[k]
					if got == WaitUntil && (was == SowNow || was == BuySeed || was == Stop) {
						t.Errorf("%s: %s, then wait", at, was)
					}
					if got == WaitUntil && *d.Report.ClearOn <= e.AsOf {
						t.Errorf("%s: wait, though all is up since %s", at, d.Report.ClearOn)
					}
					if thinner != nil && d.Sows() && (thinner.Best.Action == LeaveIt || thinner.Best.Action == Stop ||
						thinner.Best.Action == WaitUntil && cover > 0.5) {
						t.Errorf("%s: %s a thinner stand, %s this one", at, thinner.Best.Action, got)
					}
					if thinner != nil && d.Find(WaitUntil) == nil && d.Choices[len(d.Choices)-1].Cover <
						thinner.Choices[len(thinner.Choices)-1].Cover-0.01 {
						t.Errorf("%s: less cover is expected than of a thinner stand", at)
					}
					if supply == (Supply{AtHand: 1}) {
						if half := decide(cover, Supply{AtHand: 0.5}); half.Best.Action == SowNow && got == LeaveIt {
							t.Errorf("%s: half of the seed is sown, all of it is not", at)
						}
					}
					before[k], thinner = got, d
				}
			}
		}
	}
	for _, a := range []Action{SowNow, BuySeed, WaitUntil, LeaveIt, Stop} {
		if seen[a] == 0 {
			t.Errorf("%s is never decided: %v", a, seen)
		}
	}
}

// A cover that the soil so far cannot have grown fits an earlier day of sowing.
func TestFitsSown(t *testing.T) {
	s := station(t, 4, 0, 20)
	sow := climate.Date(2003, time.October, 5)
	e := ensemble(t, s, 2003, sow+1)
	a, err := e.Advise(Options{}, sow, Stand{Cover: 0.9}, Supply{Unknown: true})
	if err != nil {
		t.Fatal(err)
	}
	if !a.Report.MoreThanCan || a.FitsSown == nil || *a.FitsSown >= sow-2 || *a.FitsSown < sow-20 {
		t.Fatalf("90 %% a day after sowing fits %v", a.FitsSown)
	}
	for d, want := range map[climate.Day]bool{*a.FitsSown: false, *a.FitsSown + 1: true} {
		x, err := e.Outlook(Options{}, d)
		if err != nil {
			t.Fatal(err)
		}
		if r, err := e.Judge(x, Stand{Cover: 0.9}); err != nil || r.MoreThanCan != want {
			t.Errorf("sown %s: more than can be %t, %v", d, r.MoreThanCan, err)
		}
	}
}

// What changes a decision does change it, and a milder killing freeze never lowers
// the chance.
func TestDecisionChanges(t *testing.T) {
	s := station(t, 4, 0, 20)
	kinds := map[ChangeKind]int{}
	for _, cover := range []float64{0.1, 0.4, 0.6, 0.8} {
		for after := climate.Day(4); after < 25; after += 5 {
			sow := climate.Date(2003, time.September, 28)
			e := ensemble(t, s, 2003, sow+after)
			a, err := e.Advise(Options{}, sow, Stand{Cover: cover}, Supply{AtHand: 1})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range a.Changes {
				kinds[c.Kind]++
				stand := a.Stand
				switch c.Kind {
				case ChangeCover:
					stand.Cover = c.Cover
				case ChangeDigging:
					stand.Found = c.Found
				case ChangeFreeze:
					// Later dates have a larger error, which takes something off a chance near 1.
					if c.Chance < a.Second[0].Chance-0.005 {
						t.Errorf(
							"on %s at %g °C: %.6f, less than %.6f",
							e.AsOf,
							c.FreezeC,
							c.Chance,
							a.Second[0].Chance,
						)
					}
					continue
				case ChangeSoil:
					if c.Chance > a.Second[0].Chance+0.005 {
						t.Errorf("on %s in colder soil: %.6f, more than %.6f", e.AsOf, c.Chance, a.Second[0].Chance)
					}
					continue
				case ChangeSpecies:
					if c.Species.ID != a.Surer.Options.Species.ID || c.Chance <= a.Second[0].Chance {
						t.Errorf("%+v, with %.2f before", c, a.Second[0].Chance)
					}
					continue
				}
				supply := Supply{AtHand: (1 - cover) / (1 - stand.Cover)}
				if stand.Cover == 1 {
					supply = a.Supply
				}
				d, err := e.Decide(a.First, stand, supply)
				if err != nil {
					t.Fatal(err)
				}
				if d.Best.Action != c.Best.Action || c.Best.Action == a.Decision.Best.Action {
					t.Errorf("%+v: %s, and %s as it is", c, d.Best.Action, a.Decision.Best.Action)
				}
			}
		}
	}
	for _, k := range []ChangeKind{ChangeCover, ChangeDigging, ChangeFreeze} {
		if kinds[k] == 0 {
			t.Errorf("%s is never among the changes: %v", k, kinds)
		}
	}
}
