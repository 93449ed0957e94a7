package turf

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// By hand: of the 1000 °C d of tall fescue (Zhang 2012, S) with leaves 119 °C d apart, those
// of perennial ryegrass, 101 apart, are 848.7 and those of Kentucky bluegrass, 120 apart,
// 1008.4, both to the next ten.
func TestMatureByHand(t *testing.T) {
	for id, want := range map[string]Figure{
		"tall-fescue":        {1000, DegreeDays, Derived, ""},
		"meadow-fescue":      {1000, DegreeDays, Unverified, ""},
		"perennial-ryegrass": {850, DegreeDays, Unverified, ""},
		"kentucky-bluegrass": {1010, DegreeDays, Unverified, ""},
	} {
		s, _ := Find(id)
		if s.Mature.Value != want.Value || s.Mature.Unit != want.Unit || s.Mature.Evidence != want.Evidence {
			t.Errorf("%s: %+v", id, s.Mature)
		}
	}
}

// By hand, hardened −16 ± 5 °C and unhardened −6 ± 1.5: at half of the way −11, with the
// standard deviation half way from 1.5 to 5/1.2816 = 3.9014.
func TestKillTempByHand(t *testing.T) {
	s, _ := Find("perennial-ryegrass")
	s.Unhardened.Value, s.Hardened.Value, s.HardenedRange.Value = -6, -16, 5
	for _, c := range []struct{ hardening, growth, temp, sd float64 }{
		{0, 1, -6, 1.5}, {1, 1, -16, 3.9014}, {1, 0.5, -11, 2.7007}, {0.5, 0.5, -8.5, 2.1003},
	} {
		if temp, sd, ok := s.KillTemp(c.hardening, c.growth); !ok || !near(temp, c.temp, 1e-9) ||
			!near(sd, c.sd, 1e-4) {
			t.Errorf("%+v: %g ± %g", c, temp, sd)
		}
	}
	s.Emerged.Value, s.Mature.Value = 100, 900
	for thermalTime, want := range map[float64]float64{0: 0, 100: 0, 300: 0.25, 500: 0.5, 900: 1, 901: 1} {
		if got := s.MatureShare(thermalTime); !near(got, want, 1e-12) {
			t.Errorf("%g °C d: %g of the way, want %g", thermalTime, got, want)
		}
	}
	s.Mature.Value = 100 // mature as soon as it is up
	if got := s.MatureShare(100); got != 1 {
		t.Errorf("a species mature when up is %g of the way", got)
	}
}

// The midpoint of a range is derived; of a range from memory it is no better than that.
func TestEvidenceOfTheUsualRate(t *testing.T) {
	for id, want := range map[string]Evidence{"tall-fescue": Derived, "creeping-bentgrass": Unverified} {
		if r, ok := RateFor(id, NewLawn); !ok || r.UsualEvidence != want {
			t.Errorf("%s: %+v", id, r)
		}
	}
}

// What just can be is taken, what just cannot is refused and named.
func TestSowingAtItsLimits(t *testing.T) {
	good := Sowing{AreaM2: 100, RateGM2: 10}
	for name, c := range map[string]struct {
		change func(*Sowing)
		want   string // in the error, "" for none
	}{
		"a thousand square kilometres": {func(s *Sowing) { s.AreaM2 = 1e9 }, ""},
		"more":                         {func(s *Sowing) { s.AreaM2 = 1.01e9 }, "an area of 1.01e+09 m²"},
		"100 kg/m²":                    {func(s *Sowing) { s.RateGM2 = 1e5 }, ""},
		"a rate above":                 {func(s *Sowing) { s.RateGM2 = 1.01e5 }, "a rate of 101000 g/m²"},
		"all pure and live":            {func(s *Sowing) { s.Purity, s.Germination = 1, 1 }, ""},
		"purer than pure":              {func(s *Sowing) { s.Purity, s.Germination = 1.25, 1 }, "purity of 125 % cannot be"},
		"the whole":                    {func(s *Sowing) { s.Purity, s.Germination, s.Coating = 0.5, 1, 0.5 }, ""},
		"more than the whole": {func(s *Sowing) { s.Purity, s.Germination, s.Coating = 0.5, 1, 0.625 },
			"a purity of 50 % and a coating of 62.5 % are more than the whole"},
		"coating without purity": {func(s *Sowing) { s.Coating = 1.5 }, "coating of 150 % cannot be"},
		"all coating":            {func(s *Sowing) { s.Coating = 1 }, "coating of 100 % cannot be"},
		"sown eleven times":      {func(s *Sowing) { s.Overlap = 10 }, "overlap of 1000 % cannot be"},
		"nothing":                {func(s *Sowing) { s.Loss, s.Overlap, s.Coating = 0, 0, 0 }, ""},
	} {
		s := good
		c.change(&s)
		err := s.Check()
		if (err != nil) != (c.want != "") ||
			err != nil && (!errors.Is(err, ErrSowing) || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The rate is of pure live seed where purity and germination are both known: of one of them
// nothing follows.
func TestSowingWithHalfALabel(t *testing.T) {
	for name, s := range map[string]Sowing{
		"germination alone": {AreaM2: 100, RateGM2: 10, Germination: 0.9},
		"purity alone":      {AreaM2: 100, RateGM2: 10, Purity: 0.9},
	} {
		if got := s.WeightG(); got != 1000 {
			t.Errorf("%s: %g g", name, got)
		}
	}
}

// By hand, of 0.3 to 0.8: mean 0.55, standard deviation 0.5/2.5632 = 0.195069, so α + β =
// 0.2475/0.0380520 − 1 = 5.50426, α = 3.02734, β = 2.47692.
func TestBetaByHand(t *testing.T) {
	if a, b := (Emergence{Low: 0.3, High: 0.8}).Beta(); !near(a, 3.02734, 1e-4) || !near(b, 2.47692, 1e-4) {
		t.Errorf("%g, %g", a, b)
	}
}

func TestSpeciesAtTheirLimits(t *testing.T) {
	const order, above = "are not in ascending order", "must be above 0"
	for name, c := range map[string]struct {
		change func(*Species)
		want   string // in the error, "" for none
	}{
		"base -20":               {func(s *Species) { s.Base.Value = -20 }, order},
		"base -19":               {func(s *Species) { s.Base.Value = -19 }, ""},
		"base at the optimum":    {func(s *Species) { s.Base.Value = s.Optimum.Value }, order},
		"no plateau":             {func(s *Species) { s.Plateau.Value = 0 }, ""},
		"less than no plateau":   {func(s *Species) { s.Plateau.Value = -1 }, order},
		"plateau to the ceiling": {func(s *Species) { s.Plateau.Value = s.Ceiling.Value - s.Optimum.Value }, order},
		"plateau beyond it":      {func(s *Species) { s.Plateau.Value = 20 }, order},
		"ceiling 60":             {func(s *Species) { s.Ceiling.Value = 60 }, order},
		"ceiling 59":             {func(s *Species) { s.Ceiling.Value = 59 }, ""},
		"optimum 0":              {func(s *Species) { s.Base.Value, s.Optimum.Value = -5, 0 }, "is not above 0"},
		"no germination":         {func(s *Species) { s.Germination.Value = 0 }, above},
		"no spread":              {func(s *Species) { s.Spread.Value = 0 }, above},
		"up at once":             {func(s *Species) { s.Emerged.Value = 0 }, "must be above 0 and ascend"},
		"mown when up":           {func(s *Species) { s.Mow.Value = s.Emerged.Value }, "must be above 0 and ascend"},
		"a tiller when mown":     {func(s *Species) { s.Tillered.Value = s.Mow.Value }, "must be above 0 and ascend"},
		"germination 1":          {func(s *Species) { s.Germination.Value = 1 }, ""},
		"germination 0.9":        {func(s *Species) { s.Germination.Value = 0.9 }, "germination 0.9 is no figure"},
		"germination 20000":      {func(s *Species) { s.Germination.Value = 20000 }, ""},
		"germination 20001":      {func(s *Species) { s.Germination.Value = 20001 }, "germination 20001 is no figure"},
		"spread 2":               {func(s *Species) { s.Spread.Value = 2 }, ""},
		"all young survive":      {func(s *Species) { s.YoungSurvival.Value = 1 }, ""},
		"none does":              {func(s *Species) { s.YoungSurvival.Value = 0 }, ""},
		"more than all":          {func(s *Species) { s.YoungSurvival.Value = 1.1 }, "young_survival 1.1 is no figure"},
		"hardened as unhardened": {func(s *Species) { s.Hardened.Value = s.Unhardened.Value }, ""},
		"less hardy hardened":    {func(s *Species) { s.Hardened.Value = s.Unhardened.Value + 1 }, "hardened -5 is no figure"},
		"NaN":                    {func(s *Species) { s.Tillered.Value = math.NaN() }, "ascend"},
		"infinite":               {func(s *Species) { s.Covered.Value = math.Inf(1) }, "covered +Inf is no figure"},
	} {
		s, _ := Find("perennial-ryegrass")
		c.change(&s)
		err := s.Check()
		if (err != nil) != (c.want != "") ||
			err != nil && (!errors.Is(err, ErrSpecies) || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := (&Species{}).Check(); !errors.Is(err, ErrSpecies) {
		t.Errorf("the zero species: %v", err)
	}
}

// By hand, 500 seeds in a gram: 7 plants a square inch are 10850 in a square metre; of a gram
// 441 seeds live, of which 30 to 80 % come up.
func TestRateOfStandByHand(t *testing.T) {
	s := Species{ID: "my-own"}
	s.SeedsPerGram.Value = 500
	r, basis, ok := RateOrStandIn(&s, NewLawn)
	if !ok || basis != RateStand || !near(r.Usual, 10850.02/(441*0.55), 1e-3) ||
		!near(r.Low, 10850.02/(441*0.8), 1e-3) ||
		!near(r.High, 2*10850.02/(441*0.3), 1e-3) {
		t.Errorf("%+v, %s, %v", r, basis, ok)
	}
}

// Whoever changes a list that was handed out changes no other's.
func TestListsAreCopies(t *testing.T) {
	All()[0].Emerged.Value = 1
	Hosts()[0].Open.TempC = 99
	Stages()[0] = "ripe"
	Uses()[0] = "pasture"
	found, _ := Find(All()[0].ID)
	found.Tillered.Value = 1
	again, _ := Find(found.ID)
	h, _ := FindHost(Hosts()[0].ID)
	if All()[0].Emerged.Value == 1 || again.Tillered.Value == 1 || h.Open.TempC == 99 || Stages()[0] != Emerged ||
		Uses()[0] != NewLawn {
		t.Error("a list of the package was changed")
	}
}

// A stage that is none panics with the name of the package, a host's threshold that is no
// temperature is an error.
func TestMisuse(t *testing.T) {
	s, _ := Find("perennial-ryegrass")
	for name, f := range map[string]func(){
		"ThermalTime":   func() { s.ThermalTime("ripe") },
		"ThermalTimeSD": func() { s.ThermalTimeSD("") },
		"DaysAt":        func() { s.DaysAt("ripe", 10) },
	} {
		func() {
			defer func() {
				if got, _ := recover().(string); !strings.HasPrefix(got, "turf: no stage") {
					t.Errorf("%s: panic %q", name, got)
				}
			}()
			f()
		}()
	}
	for _, c := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		h, _ := FindHost("bermudagrass")
		h.Open.TempC = c
		if err := h.Check(); !errors.Is(err, ErrHost) {
			t.Errorf("opening at %g °C: %v", c, err)
		}
		h, _ = FindHost("bermudagrass")
		h.Dormancy.TempC = c
		if err := h.Check(); !errors.Is(err, ErrHost) {
			t.Errorf("dormancy at %g °C: %v", c, err)
		}
	}
	h, _ := FindHost("bermudagrass")
	h.Dormancy.Depth = 7
	if err := h.Check(); !errors.Is(err, ErrHost) {
		t.Errorf("dormancy at 7 cm: %v", err)
	}
	if err := (&Host{}).Check(); !errors.Is(err, ErrHost) {
		t.Errorf("the zero host: %v", err)
	}
}
