package seed

import (
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// NeedJSON is a need of seed as scripts read it.
type NeedJSON struct {
	Species     string              `json:"species_id"`
	AreaM2      words.Number        `json:"area_m2"`
	RateGM2     words.Number        `json:"rate_g_m2"`
	RateLow     words.Number        `json:"rate_low_g_m2"`
	RateHigh    words.Number        `json:"rate_high_g_m2"`
	Evidence    string              `json:"rate_standing"`
	Source      string              `json:"rate_source"`
	Basis       string              `json:"rate_basis"`
	WeightG     words.Number        `json:"weight_g"`
	SeedsPerM2  words.Number        `json:"seeds_m2"`
	PlantsLow   words.Number        `json:"plants_low_m2"`
	PlantsHigh  words.Number        `json:"plants_high_m2"`
	TargetLow   words.Number        `json:"target_low_m2"`
	TargetHigh  words.Number        `json:"target_high_m2"`
	Bags        *int                `json:"bag_count"`
	Cost        *words.Number       `json:"cost"`
	SeedLeftG   *words.Number       `json:"seed_left_g"`
	ShortG      *words.Number       `json:"short_g"`
	LeftRateGM2 *words.Number       `json:"rate_from_seed_left_g_m2"`
	LeftAreaM2  *words.Number       `json:"area_from_seed_left_m2"`
	Decision    report.DecisionJSON `json:"decision"`
}

// JSON is a need of seed as scripts read it.
func JSON(n *turf.Need) NeedJSON {
	known := func(v float64) words.Number {
		if n.Species.SeedsPerGram.Value == 0 {
			return words.Unknown
		}
		return words.Number(v)
	}
	s := &n.Sowing
	w := s.WeightG()
	low, high := n.Plants()
	out := NeedJSON{
		Species: n.Species.ID, AreaM2: words.Number(s.AreaM2), RateGM2: words.Number(s.RateGM2),
		RateLow: words.Number(n.Rate.Low), RateHigh: words.Number(n.Rate.High),
		Evidence: string(n.Rate.Evidence), Source: n.Rate.Source, Basis: string(n.Basis), WeightG: words.Number(w),
		SeedsPerM2: known(s.SeedsPerM2(&n.Species)), PlantsLow: known(low), PlantsHigh: known(high),
		TargetLow: words.Number(
			turf.TargetStandLow,
		), TargetHigh: words.Number(turf.TargetStandHigh), Decision: report.DecisionJSON{Action: string(Decide(n))},
	}
	if n.BagG > 0 {
		out.Bags = new(n.Bags(w))
	}
	if n.Price > 0 {
		out.Cost = new(words.Number(n.Cost(w)))
	}
	if n.LeftG != nil {
		out.SeedLeftG, out.ShortG = new(words.Number(*n.LeftG)), new(words.Number(n.ShortG()))
		out.LeftRateGM2 = new(words.Number(s.RateFrom(*n.LeftG)))
		out.LeftAreaM2 = new(words.Number(s.AreaFrom(*n.LeftG)))
	}
	return out
}

type seedJSON struct {
	Schema string `json:"schema"`
	NeedJSON
	Cautions []string `json:"cautions"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	return seedJSON{"swardcast.seed/2", JSON(a.Need), report.Cautions()}
}
