package seed_test

import (
	"math"
	"strings"
	"testing"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// own is a species of the user's own without the number of its seeds.
const own = "species,parameter,value\nperennial-ryegrass,seeds_per_gram,0\n"

func args(line string) []string { return strings.Fields(line) }

func TestJSONByHand(t *testing.T) {
	var got struct {
		Schema   string
		WeightG  float64 `json:"weight_g"`
		Bags     *int    `json:"bag_count"`
		Cost     *float64
		ShortG   *float64 `json:"short_g"`
		LeftArea *float64 `json:"area_from_seed_left_m2"`
		Seeds    *float64 `json:"seeds_m2"`
		Low      *float64 `json:"plants_low_m2"`
		High     *float64 `json:"plants_high_m2"`
		Cautions []string
	}
	// 100 m² at 10 g/m², a tenth sown twice and a half lost: 1000 × 1.1 / 0.5 g.
	clitest.JSON(
		t,
		&got,
		seed.Command,
		nil,
		args(
			"--area 60m2 --rectangle 10mx4m --rate 10g/m2 --overlap 10 --loss 50 --bag 1kg --price 20/bag --seed-left 550g",
		)...)
	if got.Schema != "swardcast.seed/2" || math.Abs(got.WeightG-2200) > 1e-3 || *got.Bags != 3 || *got.Cost != 60 ||
		math.Abs(*got.ShortG-1650) > 1e-3 ||
		math.Abs(*got.LeftArea-25) > 1e-3 {
		t.Errorf("%+v", got)
	}
	if !(*got.Low < *got.High && *got.High < *got.Seeds) || len(got.Cautions) == 0 {
		t.Errorf("plants %g to %g of %g seeds, cautions %q", *got.Low, *got.High, *got.Seeds, got.Cautions)
	}
	got.Bags, got.Cost, got.ShortG = nil, nil, nil
	clitest.JSON(t, &got, seed.Command, clitest.Files{"own.csv": own}, args("--area 1ha --species own.csv")...)
	if got.Seeds != nil || got.Low != nil || got.Bags != nil || got.Cost != nil || got.ShortG != nil {
		t.Errorf("what is not known is given: %+v", got)
	}
}

func TestForms(t *testing.T) {
	for _, e := range seed.Command.Examples {
		clitest.Forms(t, seed.Command, nil, clitest.Args(e)[1:]...)
	}
	clitest.Forms(t, seed.Command, clitest.Files{"own.csv": own}, args("--area 1ha --species own.csv")...)
}

func TestDocument(t *testing.T) {
	sp, _ := turf.Find("perennial-ryegrass")
	rate, _ := turf.RateFor(sp.ID, turf.HomeLawn)
	n := &turf.Need{
		Species: sp,
		Use:     turf.HomeLawn,
		Rate:    rate,
		Sowing:  turf.Sowing{AreaM2: 1000, RateGM2: rate.Usual, Purity: 0.98, Germination: 0.9},
		LeftG:   new(100.0),
	}
	for u, want := range map[words.System]string{words.US: " lb more: you have ", words.Metric: " kg more: you have "} {
		d, err := (&seed.Answer{Need: n}).Document(u, report.Page)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(d.Headline, "Buy ") || !strings.Contains(d.Headline, want) ||
			!strings.Contains(d.Headline, sp.Name) {
			t.Errorf("headline %q", d.Headline)
		}
		labels := ""
		for _, x := range clitest.Section(t, d, "seed").Items {
			labels += x.Label + " "
		}
		if labels != "rate label stand seed left " {
			t.Errorf("facts %q", labels)
		}
		if got := clitest.Section(t, d, "cautions").List; len(got) != len(report.Cautions()) {
			t.Errorf("cautions %q", got)
		}
	}
}

// The headline says what to do, and the JSON the same.
func TestDecisions(t *testing.T) {
	for line, want := range map[string][2]string{
		"--area 5000ft2": {"buy", "Buy 37.5 lb of perennial ryegrass for 5000 ft² at 7.5 lb/1000 ft² (home lawn)."},
		"--area 5000ft2 --use fine-turf --purity 98 --germination 90 --bag 50lb": {"buy", "Buy 3 bags of 50 lb: 142 lb of " +
			"perennial ryegrass for 5000 ft² at 25 lb/1000 ft² (fine turf), 88 % pure live seed."},
		"--area 1000ft2 --seed-left 0lb --bag 25lb --price 50/bag": {"buy", "Buy 1 bag of 25 lb (cost 50.00): 7.5 lb of "},
		"--area 5000ft2 --seed-left 14lb":                          {"buy-more", "Buy 23.5 lb more: you have 14 lb of perennial ryegrass, enough for 1867 ft² of the 5000 ft² at 7.5 lb/1000 ft² (home lawn)."},
		"--area 2ac --use sports-field --seed-left 100lb --bag 50lb": {"buy-more", "Buy 16 bags of 50 lb: you have 100 lb of " +
			"perennial ryegrass, enough for 0.23 acre of the 2 acres at 436 lb/acre (sports field), and need 771 lb more."},
		"--area 1920ft2 --seed-left 14lb": {"use", "Use the seed you have: 14 lb of perennial ryegrass over 1920 ft² gives 7.29 " +
			"lb/1000 ft², within the usual 5 to 10 lb/1000 ft² (home lawn)."},
		"--area 1000ft2 --seed-left 14lb": {"use", "Use the seed you have: of your 14 lb, 7.5 lb of perennial ryegrass is " +
			"enough for 1000 ft² at 7.5 lb/1000 ft² (home lawn)."},
		"--area 1ac --species tall-fescue --use fairway": {"buy", "Buy 305 lb of tall fescue for 1 acre at 305 lb/acre (its " +
			"new-lawn rate). We know no published rate of tall fescue for overseeding a fairway; this is its new-lawn rate."},
	} {
		text := strings.Join(strings.Fields(clitest.Answer(t, seed.Command, nil, args(line)...)), " ")
		if !strings.HasPrefix(text, want[1]) {
			t.Errorf("%s: %.300s", line, text)
		}
		var got struct{ Decision struct{ Action string } }
		clitest.JSON(t, &got, seed.Command, nil, args(line)...)
		if got.Decision.Action != want[0] {
			t.Errorf("%s: %s, want %s", line, got.Decision.Action, want[0])
		}
	}
}

// The three ways in which a rate is given.
func TestRates(t *testing.T) {
	for line, want := range map[string]string{
		"--area 100m2":                                          "the middle of",
		"--area 100m2 --use fairway":                            "published: mean and range of 44 Phoenix courses",
		"--area 100m2 --use putting-green":                      "(common practice), of a range of",
		"--area 100m2 --rate 30g/m2":                            "30 g/m², your figure",
		"--area 100m2 --seed-left 2lb --bag 1lb":                "you have 907 g",
		"--area 100m2 --seed-left 200lb":                        "is enough",
		"--area 100m2 --coating 50":                             "2.00 times the weight of bare seed",
		"--area 100m2 --purity 50 --germination 90 --coating 9": "already counts the coating",
	} {
		text := strings.Join(
			strings.Fields(clitest.Answer(t, seed.Command, nil, append(args(line), "--units", "metric")...)),
			" ",
		)
		if !strings.Contains(text, want) {
			t.Errorf("%s: no %q in\n%s", line, want, text)
		}
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct{ line, message, hint string }{
		{"", "no area given", "--area 5000ft2"},
		{"FILE", "seed takes no FILE", "leave the FILE out"},
		{"--area 5m2 --purity 98", "go together", ""},
		{"--area 5m2 --purity 0 --germination 9", "nothing would grow", ""},
		{"--area 5m2 --purity 60 --germination 9 --coating 50", "more than the whole", ""},
		{"--area 5m2 --loss 100", "--loss 100: it is a percentage from 0 to 99", ""},
		{"--area 5m2 --price 95/bag", "size of the bag", "--bag 50lb"},
		{"--area 5m2 --price 95", "write an amount by lb, kg or bag", ""},
		{"--circle 18", "write the diameter", ""},
		{"--rectangle 18ft", "write length x width", ""},
		{"--area 900000000m2 --bag 1g --rate 100g/m2", "bags", "look at the area and the size of the bag"},
		{"--area 5m2 --species fescue", "which one", "--species tall-fescue, meadow-fescue"},
	} {
		clitest.Fails(t, seed.Command, nil, cli.Usage, c.message, c.hint, args(c.line)...)
	}
}
