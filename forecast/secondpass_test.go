package forecast

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// judged is the report of a stand, sown on 1 October and looked at so many days
// later.
func judged(t *testing.T, e *Ensemble, sow climate.Day, stand Stand) *StandReport {
	t.Helper()
	x, err := e.Outlook(Options{}, sow)
	if err != nil {
		t.Fatal(err)
	}
	r, err := e.Judge(x, stand)
	if err != nil {
		t.Fatal(err)
	}
	if !(r.SurvivingP10 <= r.SurvivingP50 && r.SurvivingP50 <= r.SurvivingP90 && r.FinalP50 >= stand.Cover &&
		r.LostProbability >= 0 &&
		r.LostProbability <= 1) {
		t.Errorf("%+v: %+v", stand, r)
	}
	return r
}

func TestJudge(t *testing.T) {
	s := station(t, 4, 0, 20)
	sow := climate.Date(2003, time.October, 1)
	early, late := ensemble(t, s, 2003, sow+1), ensemble(t, s, 2003, sow+16)

	// A day after sowing the look adds nothing: the prior, 0.6 × Beta(9, 2) below
	// a half, 0.0107, and 0.4 × 0.5.
	if r := judged(t, early, sow, Stand{Cover: 0}); math.Abs(r.LostProbability-0.207) > 0.03 || r.ExpectedUp > 0.2 {
		t.Errorf("on the day after: %+v", r)
	}
	// Two weeks later nearly all surviving seed is up: the rest is lost.
	if r := judged(t, late, sow, Stand{Cover: 0.1}); r.LostProbability < 0.95 || r.ExpectedUp < 0.9 {
		t.Errorf("bare after two weeks: %+v", r)
	}
	if r := judged(t, late, sow, Stand{Cover: 0.85}); r.LostProbability > 0.02 {
		t.Errorf("thick after two weeks: %+v", r)
	}
	// Digging shows a loss before the cover does.
	mid := ensemble(t, s, 2003, sow+4)
	none, many := judged(t, mid, sow, Stand{Found: NoSeed}), judged(t, mid, sow, Stand{Found: ManySeeds})
	undug := judged(t, mid, sow, Stand{})
	if !(none.LostProbability > undug.LostProbability && undug.LostProbability > many.LostProbability) {
		t.Errorf(
			"lost: no seed found %.2f, not dug %.2f, seed found %.2f",
			none.LostProbability,
			undug.LostProbability,
			many.LostProbability,
		)
	}
	// More cover never makes loss likelier, but for the looks that are mistaken
	// altogether, which count most where little else is likely.
	before := 1.1
	for c := 0.0; c <= 1; c += 0.1 {
		r := judged(t, late, sow, Stand{Cover: c})
		if r.LostProbability > before+0.01 {
			t.Errorf("cover %.1f: lost %.3f, with less %.3f", c, r.LostProbability, before)
		}
		before = r.LostProbability
	}
	if r := judged(t, early, sow, Stand{}); r.ClearOn == nil || *r.ClearOn <= sow+5 || *r.ClearOn > sow+30 {
		t.Errorf("clear on %v", r.ClearOn)
	}
}

// The likelihoods by hand: ten seeds where all lie, an eye that judges to 10 %,
// one search in fifty and one look in five hundred mistaken.
func TestStandLikelihoods(t *testing.T) {
	for _, c := range []struct {
		found SeedFound
		lies  float64
		want  float64
	}{
		{NoSeed, 0.1, 0.98*math.Exp(-1) + 0.02/3},
		{FewSeeds, 0.1, 0.98*math.Exp(-1)*(1+0.5+1.0/6) + 0.02/3},
		{ManySeeds, 0.1, 0.98*(1-math.Exp(-1)*(2+0.5+1.0/6)) + 0.02/3},
		{ManySeeds, 0, 0.02 / 3}, {NotDug, 0.7, 1},
	} {
		if got := foundProbability(c.found, c.lies); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("found %q where %g lies: %g, want %g", c.found, c.lies, got, c.want)
		}
	}
	if got, want := coverProbability(0.3, 0.5),
		0.998*math.Exp(-2)/(0.1*math.Sqrt(2*math.Pi))+0.002; math.Abs(got-want) > 1e-12 {
		t.Errorf("30 %% seen where half is up: %g, want %g", got, want)
	}
}

// Whatever is seen, whenever, the answer is a number.
func TestJudgementIsFinite(t *testing.T) {
	s := station(t, 4, 0, 20)
	sow := climate.Date(2003, time.September, 5)
	for _, after := range []climate.Day{0, 1, 5, 20, 60, 120, 200} {
		e := ensemble(t, s, 2003, sow+after)
		for _, found := range []SeedFound{NotDug, NoSeed, FewSeeds, ManySeeds} {
			for _, cover := range []float64{0, 0.1, 0.6, 1} {
				r := judged(t, e, sow, Stand{Cover: cover, Found: found})
				if math.IsNaN(r.LostProbability) || math.IsNaN(r.FinalP50) || r.SurvivingP90 == 0 {
					t.Fatalf("%d days after, cover %g, found %q: %+v", after, cover, found, r)
				}
			}
		}
	}
	e := ensemble(t, s, 2003, sow+1)
	if r := judged(t, e, sow, Stand{Cover: 0.95}); !r.MoreThanCan {
		t.Error("a stand that is up in a day is not more than can be")
	}
}

// A colder season never has more up by a date.
func TestColderIsNeverMoreUp(t *testing.T) {
	sow, asOf := climate.Date(1998, time.October, 5), climate.Date(1998, time.October, 14)
	up := 1.0
	for _, warmer := range []float64{1.5, 0, -1.5, -3} {
		s := station(t, 6, warmer, 14)
		e := ensemble(t, s, 1998, asOf)
		x, err := e.Outlook(Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		if x.EmergedFraction > up {
			t.Errorf("%+.1f °C: %.3f up, in a warmer season %.3f", warmer, x.EmergedFraction, up)
		}
		up = x.EmergedFraction
	}
}

func TestJudgeRefuses(t *testing.T) {
	s := station(t, 4, 0, 20)
	e := ensemble(t, s, 2003, climate.Date(2003, time.October, 10))
	for _, c := range []struct {
		sow   climate.Day
		stand Stand
	}{
		{climate.Date(2003, time.October, 1), Stand{Cover: 1.2}},
		{climate.Date(2003, time.October, 1), Stand{Cover: math.NaN()}},
		{climate.Date(2003, time.October, 11), Stand{Cover: 0.2}},
	} {
		x, err := e.Outlook(Options{}, c.sow)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := e.Judge(x, c.stand); err == nil {
			t.Errorf("sown %v, %+v is accepted", c.sow, c.stand)
		}
	}
}

// Without water seed is never up sooner, and a record without rain is refused.
func TestUnwatered(t *testing.T) {
	s := station(t, 8, 0, 20)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	dry, err := s.Window(Options{Unwatered: true})
	if err != nil {
		t.Fatal(err)
	}
	later := 0
	for i, se := range w.Seasons {
		x := dry.Seasons[i]
		if x.Latest != nil && (se.Latest == nil || *x.Latest > *se.Latest) {
			t.Errorf("season %d: unwatered %v, watered %v", se.Year, x.Latest, se.Latest)
		}
		if se.Latest != nil && (x.Latest == nil || *x.Latest < *se.Latest) {
			later++
		}
	}
	if later == 0 {
		t.Error("no season was dry enough to matter")
	}
	rec := *s.Record
	rec.PrecipMM = nil
	none, err := NewStation(&rec)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := none.Window(Options{Unwatered: true}); !errors.Is(err, ErrNoRain) {
		t.Errorf("without rain: %v", err)
	}
	e := ensemble(t, s, 2003, climate.Date(2003, time.October, 10))
	water, total, err := e.Water(climate.Date(2003, time.October, 11), 14)
	if err != nil || len(water) != 14 {
		t.Fatalf("%d days, %v", len(water), err)
	}
	if total <= 0 || total > 14*8 {
		t.Errorf("%g mm in two weeks", total)
	}
	for _, x := range water {
		if !(x.NeedMM >= 0 && x.NeedMM < 8 && x.DryShare >= 0 && x.DryShare <= 1) {
			t.Errorf("%+v", x)
		}
	}
}

func TestCompactLetters(t *testing.T) {
	get := func(ids ...string) (list []turf.Species) {
		for _, id := range ids {
			s, ok := turf.Find(id)
			if !ok {
				t.Fatal(id)
			}
			list = append(list, s)
		}
		return list
	}
	// By hand: |373 − 447| = 74 against 1.28 √(34.3² + 41.5²) = 69.0: apart;
	// 373 and 394: 21 against 1.28 √(34.3² + 39.7²) = 67: not.
	l := CompactLetters(get("perennial-ryegrass", "creeping-bentgrass", "tall-fescue", "kentucky-bluegrass"),
		turf.Tillered)
	if l[0] != "a" || l[1] != "ab" || l[2] != "b" || l[3] != "c" {
		t.Errorf("%v", l)
	}
	if l := CompactLetters(get("red-fescue", "hard-fescue"), turf.Tillered); l[0] != "a" || l[1] != "a" {
		t.Errorf("%v", l)
	}
}
