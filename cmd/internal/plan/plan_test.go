package plan_test

import (
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/plan"
)

var sowing = []string{"--sow", "2019-10-05", "--as-of", "2019-09-10"}

func with(more ...string) []string { return append(append([]string{}, sowing...), more...) }

type answer struct {
	Sow   climate.Day
	Steps []struct {
		Step     string
		Date     climate.Day
		Until    *climate.Day
		Text     string
		Standing string
		Source   string
	}
	Areas []struct {
		Name    string
		WeightG float64 `json:"weight_g"`
	}
	OrderG    float64 `json:"order_g"`
	OrderBags int     `json:"order_bag_count"`
	OrderCost float64 `json:"order_cost"`
}

func TestForms(t *testing.T) {
	clitest.Forms(t, plan.Command, nil, with("--area", "5000ft2", "--bag", "50lb")...)
	clitest.Forms(t, plan.Command, nil, with("--host", "none", "--species", "tall-fescue", "--part", "lawn: 0.2ac, new-lawn",
		"--part", "bank: 900ft2, new-lawn, 9lb/1000ft2")...)
}

// Areas are ordered together: bags are not rounded up area by area. By hand: 12000 ft² at
// 30 lb/1000 ft² are 360 lb, 8712 ft² at 10 lb/1000 ft² 87.12 lb; 447.12 lb in bags of 50 are 9.
func TestAreas(t *testing.T) {
	var got answer
	clitest.JSON(t, &got, plan.Command, nil, with("--part", "greens: 12000ft2, putting-green", "--part", "tees: 0.2ac, fairway, 10lb/1000ft2",
		"--bag", "50lb", "--price", "95/bag")...)
	const pound = 453.59237
	if len(got.Areas) != 2 || got.Areas[0].Name != "greens" || !near(got.Areas[0].WeightG, 360*pound) || !near(got.OrderG, 447.12*pound) ||
		got.OrderBags != 9 || got.OrderCost != 855 {
		t.Errorf("%+v, %g g, %d bags, %g", got.Areas, got.OrderG, got.OrderBags, got.OrderCost)
	}
	text := clitest.Answer(t, plan.Command, nil, with("--part", "greens: 12000ft2, putting-green", "--part", "tees: 0.2ac, fairway, 10lb/1000ft2",
		"--bag", "50lb")...)
	if !strings.Contains(strings.Join(strings.Fields(text), " "), "Order 9 bags of 50 lb of perennial ryegrass by Sep 14.") {
		t.Error(text)
	}
}

func near(a, b float64) bool { return a/b > 0.999 && a/b < 1.001 }

// Every step has what it rests on, and the headline its date.
func TestSteps(t *testing.T) {
	for _, args := range [][]string{with(), with("--host", "none", "--species", "kentucky-bluegrass")} {
		var got answer
		clitest.JSON(t, &got, plan.Command, nil, args...)
		for i, s := range got.Steps {
			if s.Text == "" || s.Standing == "" || s.Source == "" && s.Standing != "CP" || i > 0 && s.Date < got.Steps[i-1].Date {
				t.Errorf("%q: %+v", args, s)
			}
		}
		if len(got.Steps) < 15 {
			t.Errorf("%q: %d steps", args, len(got.Steps))
		}
		text := clitest.Answer(t, plan.Command, nil, args...)
		if !strings.HasPrefix(text, "Sow on Oct") && !strings.HasPrefix(text, "Don't sow on Oct") {
			t.Errorf("%q: %s", args, text)
		}
	}
}

// The calendar has one event a step; a later look moves them.
func TestCalendar(t *testing.T) {
	first, later := clitest.Answer(t, plan.Command, nil, with("--format", "ics")...),
		clitest.Answer(t, plan.Command, nil, "--sow", "2019-10-05", "--as-of", "2019-10-12", "--format", "ics")
	ids := func(s string) map[string]bool {
		out := map[string]bool{}
		for l := range strings.Lines(s) {
			if id, ok := strings.CutPrefix(l, "UID:"); ok {
				if out[id] {
					t.Errorf("%s stands twice", id)
				}
				out[id] = true
			}
		}
		return out
	}
	a, b := ids(first), ids(later)
	if len(a) < 15 {
		t.Errorf("%d events", len(a))
	}
	for id := range b {
		if !a[id] {
			t.Errorf("%s is new in a later look", id)
		}
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		message string
		args    []string
	}{
		{"write a name, an area and a use", with("--part", "greens")},
		{"is no area", with("--part", "greens: big, fairway")},
		{"is no use", with("--part", "greens: 100m2, croquet")},
		{"is no rate", with("--part", "greens: 100m2, fairway, much")},
		{"stands twice", with("--part", "a: 100m2, fairway", "--part", "a: 100m2, fairway")},
		{"do not go together", with("--area", "100m2", "--part", "a: 100m2, fairway")},
		{"no area is given", with("--bag", "50lb")},
		{"a plan is for one species", with("--species", "perennial-ryegrass,tall-fescue")},
	} {
		clitest.Fails(t, plan.Command, nil, cli.Usage, c.message, "", c.args...)
	}
}
