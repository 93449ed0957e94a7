package forecast_test

import (
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// What to do changes over the autumn as the chances fall.
func TestChoose(t *testing.T) {
	ryegrass := func(species string) bool { return species == "perennial-ryegrass" || species == "annual-ryegrass" }
	day := func(m time.Month, d int) climate.Day { return climate.Date(2019, m, d) }
	for _, x := range []struct {
		today, sow climate.Day
		want       forecast.CompareAction
	}{
		{day(time.August, 1), day(time.August, 20), forecast.CompareWait},
		{day(time.September, 20), day(time.October, 5), forecast.CompareSow},
		{day(time.September, 20), day(time.November, 10), forecast.CompareEarlier},
		{day(time.October, 26), day(time.October, 26), forecast.CompareGamble},
		{day(time.November, 25), day(time.November, 25), forecast.CompareStop},
		{day(time.October, 15), day(time.October, 5), forecast.CompareSown},
		{day(time.December, 25), day(time.October, 5), forecast.CompareSeen},
	} {
		_, c := compared(t, forecast.CompareOptions{AsOf: &x.today, Sow: &x.sow})
		got := c.Choose(x.today, ryegrass)
		if got.Action != x.want {
			t.Errorf("on %s, sown on %s: %s, want %s; the best has %.2f", x.today, x.sow, got.Action, x.want,
				c.Species[0].Outlook.Chance)
		}
		n := len(got.Likely) + len(got.Doubtful) + len(got.Unlikely) + len(got.TooLate)
		if n != len(turf.All()) {
			t.Errorf("%s: %d species in the four lists", x.want, n)
		}
		if dated := got.Date != nil; dated != (x.want == forecast.CompareWait || x.want == forecast.CompareEarlier) {
			t.Errorf("%s: date %v", x.want, got.Date)
		}
		if got.Action == forecast.CompareEarlier && !(*got.Date >= x.today && *got.Date < x.sow) {
			t.Errorf("earlier than %s, from %s on: %s", x.sow, x.today, *got.Date)
		}
		if (len(got.Pick) == 0) != (x.want == forecast.CompareWait) {
			t.Errorf("%s picks %d species", x.want, len(got.Pick))
		}
		for _, p := range got.Pick {
			if got.Action == forecast.CompareSow &&
				(p.Outlook.Verdict != forecast.Likely || !ryegrass(p.Outlook.Options.Species.ID)) {
				t.Errorf("sow %s, %s", p.Outlook.Options.Species.ID, p.Outlook.Verdict)
			}
		}
	}
}

// Where no species is usual for the use, every likely one is picked.
func TestChooseOfNoneUsual(t *testing.T) {
	sow := climate.Date(2019, time.October, 5)
	_, c := compared(t, forecast.CompareOptions{AsOf: &sow, Sow: &sow})
	got := c.Choose(sow, func(string) bool { return false })
	if got.Action != forecast.CompareSow || len(got.Pick) != len(got.Likely) || len(got.Pick) == 0 {
		t.Errorf("%s, %d of %d", got.Action, len(got.Pick), len(got.Likely))
	}
}

// Two species are in one group if and only if there is no clear difference.
func TestAlike(t *testing.T) {
	sow := climate.Date(2026, time.October, 10)
	_, c := compared(t, forecast.CompareOptions{Sow: &sow})
	together := map[[2]string]bool{}
	for _, g := range c.Alike() {
		if len(g) < 2 {
			t.Errorf("a group of %d", len(g))
		}
		for _, a := range g {
			for _, b := range g {
				together[[2]string{a.Outlook.Options.Species.ID, b.Outlook.Options.Species.ID}] = true
			}
		}
	}
	for _, a := range c.Species {
		for _, b := range c.Species {
			x, y := &a.Outlook.Options.Species, &b.Outlook.Options.Species
			if alike := forecast.NoClearDifference(x, y, turf.Tillered); x.ID != y.ID &&
				alike != together[[2]string{x.ID, y.ID}] {
				t.Errorf("%s and %s: in one group %v", x.ID, y.ID, !alike)
			}
		}
	}
	_, c = compared(t, forecast.CompareOptions{Sow: &sow, Options: []forecast.Options{{Unwatered: true}}})
	if g := c.Alike(); g != nil {
		t.Errorf("with rain only: %v", g)
	}
}

// Too late in November, dormant seeding comes before spring, and of ryegrasses alone
// there is none.
func TestInstead(t *testing.T) {
	sow := climate.Date(2019, time.November, 25)
	_, c := compared(t, forecast.CompareOptions{AsOf: &sow, Sow: &sow})
	dormant, spring, err := c.Instead()
	if err != nil || dormant == nil || spring == nil || *dormant < sow || *dormant >= *spring {
		t.Errorf("dormant %v, spring %v, %v", dormant, spring, err)
	}
	rye := []forecast.Options{{}} // perennial ryegrass
	_, c = compared(t, forecast.CompareOptions{Options: rye, AsOf: &sow, Sow: &sow})
	if dormant, spring, err := c.Instead(); err != nil || dormant != nil || spring == nil {
		t.Errorf("of ryegrass: dormant %v, spring %v, %v", dormant, spring, err)
	}
}
