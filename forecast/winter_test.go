package forecast

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

func TestWinterRiskOf(t *testing.T) {
	for _, c := range []struct {
		alive, low, high float64
		want             WinterRisk
	}{
		{0.95, 0.9, 0.99, WinterLow}, {0.8, 0.7, 0.88, WinterModerate}, {0.5, 0.3, 0.8, WinterHigh},
		{0.8, 0.5, 0.95, WinterUnknown}, {0.95, 0.6, 1, WinterUnknown}, {0.99, 0.8, 1, WinterLow},
	} {
		if got := winterRiskOf(c.alive, c.low, c.high); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

// What any winter must hold: shares within their interval, hardier species live where less
// hardy ones do, warm winters kill none, and a stand sown later is not safer before it is seed
// that waits.
func TestWinters(t *testing.T) {
	none, _ := turf.FindHost("none")
	for seed := range uint64(3) {
		s := station(t, seed, 0, 12)
		share := map[string][]*Winter{}
		for _, id := range []string{"perennial-ryegrass", "kentucky-bluegrass"} {
			sp, _ := turf.Find(id)
			w, err := s.Dates(Options{Species: sp, Host: none})
			if err != nil {
				t.Fatal(err)
			}
			var sows []climate.Day
			for d := climate.Date(w.Season, time.August, 1); d <= climate.Date(w.Season, time.October, 31); d += 10 {
				sows = append(sows, d)
			}
			share[id] = s.Winters(w, sows)
			for _, x := range share[id] {
				if !(0 <= x.Low && x.Low <= x.Alive && x.Alive <= x.High && x.High <= 1) || !(x.Coldest.P50 < 20) ||
					x.Growth < 0 || x.Growth > 1 || x.Up < 0 || x.Up > 1 {
					t.Fatalf("%s: %+v", id, x)
				}
			}
		}
		for k, x := range share["perennial-ryegrass"] {
			if x.Alive > share["kentucky-bluegrass"][k].Alive+0.02 {
				t.Errorf("sow date %d: ryegrass %.2f, bluegrass %.2f alive", k, x.Alive, share["kentucky-bluegrass"][k].Alive)
			}
		}
	}
	// Soil that stays over 13 °C kills nothing.
	s := handStation(t, 0, func(d climate.Day) float64 { return math.Max(13, fallSoil(d)) })
	for i := range s.Record.TMaxC {
		s.Record.TMinC[i], s.Record.TMaxC[i] = 10, 20
	}
	w, err := s.Dates(Options{Cutoff: CutoffDormancy})
	if err != nil {
		t.Fatal(err)
	}
	if x := s.Winters(w, []climate.Day{climate.Date(w.Season, time.October, 10)})[0]; x.Alive < 0.999 ||
		x.Risk != WinterLow {
		t.Errorf("a warm winter: %+v", x)
	}
}

// Soil at −12 °C kills ryegrass that has just come up, and spares what is grown and hardened
// in more than half of the cases (LT50 −15.7 °C).
func TestColdWinter(t *testing.T) {
	cold := handStation(t, 0, func(d climate.Day) float64 {
		if d >= climate.Date(2021, time.January, 10) && d <= climate.Date(2021, time.January, 20) {
			return -12
		}
		return math.Max(2, fallSoil(d)-6)
	})
	for i := range cold.Record.TMaxC {
		v := cold.Soil.Soil5C[i]
		cold.Record.TMinC[i], cold.Record.TMaxC[i] = v, v
	}
	none, _ := turf.FindHost("none")
	w, err := cold.Dates(Options{Host: none, Cutoff: CutoffDormancy})
	if err != nil {
		t.Fatal(err)
	}
	x := cold.Winters(w, []climate.Day{climate.Date(w.Season, time.July, 20), climate.Date(w.Season, time.December, 1)})
	if grown, young := x[0], x[1]; grown.Alive < 0.5 || young.Alive > 0.3 || young.Up < 0.2 {
		t.Errorf("grown %.2f alive, young %.2f (%.2f up)", grown.Alive, young.Alive, young.Up)
	}
}

// A sowing is worth what establishes and lives; on a lawn half of what lives without.
func TestSuccess(t *testing.T) {
	w := &Winter{Alive: 0.7, established: 0.9, notEstablished: 0.6}
	o := &Outlook{Chance: 0.5, Winter: w}
	o.Options.Host, _ = turf.FindHost("bermudagrass")
	if got := o.Success(); math.Abs(got-0.45) > 1e-12 {
		t.Errorf("with a host %g", got)
	}
	o.Options.Host, _ = turf.FindHost("none")
	if got := o.Success(); math.Abs(got-(0.45+0.5*0.6/2)) > 1e-12 {
		t.Errorf("on a lawn %g", got)
	}
	w.Alive = math.NaN()
	if got := o.Success(); got != 0.5 {
		t.Errorf("without a winter %g", got)
	}
}
