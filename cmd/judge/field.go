package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// A published is a published seeding window (the sources stand in forecast/world_test.go) with
// the station it is held against.
type published struct {
	place, station, host string
	opens                civil
	species              []string // of the lawn, whose last dates are compared
	ends                 civil
}

type civil struct {
	month time.Month
	day   int
}

var windows = []published{
	{"Augusta GA", "GA_Watkinsville_5_SSE", "bermudagrass", civil{10, 1}, nil, civil{}},
	{"north Louisiana", "LA_Monroe_26_N", "bermudagrass", civil{10, 1}, nil, civil{}},
	{"SW Oklahoma", "OK_Stillwater_5_WNW", "bermudagrass", civil{9, 21}, nil, civil{}},
	{"Texas", "TX_Palestine_6_WNW", "bermudagrass", civil{10, 11}, nil, civil{}},
	{"Nebraska", "NE_Lincoln_8_ENE", "none", civil{8, 15}, []string{"kentucky-bluegrass", "tall-fescue"}, civil{9, 15}},
	{"Kansas", "KS_Manhattan_6_SSW", "none", civil{9, 1}, []string{"tall-fescue"}, civil{10, 15}},
	{"central Ohio", "OH_Coshocton_8_NNE", "none", civil{9, 1}, []string{"kentucky-bluegrass", "tall-fescue", "perennial-ryegrass"}, civil{9, 30}},
	{"Iowa", "IA_Des_Moines_17_E", "none", civil{8, 11}, []string{"kentucky-bluegrass"}, civil{9, 20}},
	{"Indiana, south", "IN_Bedford_5_WNW", "none", civil{9, 1}, []string{"kentucky-bluegrass", "tall-fescue"}, civil{9, 30}},
	{"Virginia", "VA_Charlottesville_2_SSE", "none", civil{9, 1}, []string{"tall-fescue"}, civil{10, 15}},
	{"Virginia, coast", "VA_Cape_Charles_5_ENE", "none", civil{9, 15}, []string{"tall-fescue"}, civil{10, 15}},
	{"Minnesota", "MN_Sandstone_6_W", "none", civil{8, 11}, []string{"kentucky-bluegrass", "tall-fescue"}, civil{9, 20}},
}

// printField compares what the calendars publish with openings and cutoffs, and the coldest
// soil of winters with the sensors.
func printField(w io.Writer, data string) error {
	list, err := sensors.Load(data, nil)
	if err != nil {
		return err
	}
	stations := map[string]*forecast.Station{}
	for _, x := range list {
		s, err := forecast.NewStation(x.Record)
		if err != nil {
			continue
		}
		stations[x.Name] = s
	}
	fmt.Fprint(w, "### Openings against published windows\n\n")
	if err := printOpenings(w, stations); err != nil {
		return err
	}
	fmt.Fprint(w, "\n### Cutoffs of cool-season lawns against published windows\n\n")
	if err := printCutoffs(w, stations); err != nil {
		return err
	}
	fmt.Fprint(w, "\n### Lowest soil of winter at 5 cm\n\n")
	printMinima(w, list, stations)
	return nil
}

// An opening is a way to read it.
type opening struct {
	name  string
	apply func(*forecast.Options)
}

var openings = []opening{
	{"by default", func(*forecast.Options) {}},
	{"soil 75 °F", func(o *forecast.Options) { o.Opening = forecast.OpeningSoil }},
	{"soil 70 °F", func(o *forecast.Options) {
		o.Opening, o.Host.Open.TempC = forecast.OpeningSoil, (70-32)/1.8
	}},
	{"air", func(o *forecast.Options) { o.Opening = forecast.OpeningAir }},
	{"heat", func(o *forecast.Options) { o.Opening = forecast.OpeningHeat }},
}

func printOpenings(w io.Writer, stations map[string]*forecast.Station) error {
	fmt.Fprint(w, "Median opening, and days off the published one.\n\n| place | published |")
	rule := "| --- | --- |"
	for _, a := range openings {
		fmt.Fprintf(w, " %s |", a.name)
		rule += " --- |"
	}
	fmt.Fprintf(w, "\n%s\n", rule)
	near := make([]int, len(openings))
	for _, p := range windows {
		fmt.Fprintf(w, "| %s | %s |", p.place, climate.Date(2024, p.opens.month, p.opens.day).Format("2 Jan"))
		for k, a := range openings {
			host, _ := turf.FindHost(p.host)
			o := forecast.Options{Host: host}
			a.apply(&o)
			x, err := stations[p.station].Dates(o)
			if err != nil {
				return fmt.Errorf("%s: %w", p.station, err)
			}
			opens, _ := x.Opens.At(0.5)
			off := int(opens - climate.Date(x.Season, p.opens.month, p.opens.day))
			if off >= -10 && off <= 10 {
				near[k]++
			}
			fmt.Fprintf(w, " %s (%+d) |", opens.Format("2 Jan"), off)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprint(w, "| within ten days | |")
	for _, n := range near {
		fmt.Fprintf(w, " %d of %d |", n, len(windows))
	}
	fmt.Fprintln(w)
	return nil
}

var cutoffs = []opening{
	{"28 °F or soil 40 °F, the default", func(*forecast.Options) {}},
	{"24 °F or soil 40 °F", func(o *forecast.Options) { o.FreezeC = new((24 - 32) / 1.8) }},
	{"20 °F or soil 40 °F", func(o *forecast.Options) { o.FreezeC = new((20 - 32) / 1.8) }},
	{"soil 40 °F alone", dormancyAt(40)}, {"soil 45 °F alone", dormancyAt(45)}, {"soil 50 °F alone", dormancyAt(50)},
	{"third leaf by the default", func(o *forecast.Options) { o.Stage = turf.Mow }},
}

func dormancyAt(fahrenheit float64) func(*forecast.Options) {
	return func(o *forecast.Options) {
		o.Cutoff, o.Host.Dormancy.TempC = forecast.CutoffDormancy, (fahrenheit-32)/1.8
	}
}

func printCutoffs(w io.Writer, stations map[string]*forecast.Station) error {
	fmt.Fprintln(w, "Last safe dates at 80 and 50 %, and by how many days the published end lies outside them.")
	fmt.Fprint(w, "\n| place, species | published |")
	rule := "| --- | --- |"
	for _, a := range cutoffs {
		fmt.Fprintf(w, " %s |", a.name)
		rule += " --- |"
	}
	fmt.Fprintf(w, "\n%s\n", rule)
	sum, near, n := make([]float64, len(cutoffs)), make([]int, len(cutoffs)), 0
	for _, p := range windows {
		for _, id := range p.species {
			species, _ := turf.Find(id)
			fmt.Fprintf(w, "| %s, %s | %s |", p.place, species.Name, climate.Date(2024, p.ends.month, p.ends.day).Format("2 Jan"))
			n++
			for k, a := range cutoffs {
				host, _ := turf.FindHost(p.host)
				o := forecast.Options{Host: host, Species: species}
				a.apply(&o)
				x, err := stations[p.station].Dates(o)
				if err != nil {
					return fmt.Errorf("%s: %w", p.station, err)
				}
				from, _ := x.LastSafe(80)
				to, ok := x.LastSafe(50)
				if !ok {
					to = climate.Date(x.Season+1, time.April, 30)
				}
				end, off := climate.Date(x.Season, p.ends.month, p.ends.day), 0
				if end < from {
					off = int(from - end)
				} else if end > to {
					off = int(to - end)
				}
				sum[k] += math.Abs(float64(off))
				if off >= -10 && off <= 10 {
					near[k]++
				}
				fmt.Fprintf(w, " %s – %s (%+d) |", from.Format("2 Jan"), to.Format("2 Jan"), off)
			}
			fmt.Fprintln(w)
		}
	}
	fmt.Fprint(w, "| mean days off; within ten days | |")
	for k := range cutoffs {
		fmt.Fprintf(w, " %.1f; %d of %d |", sum[k]/float64(n), near[k], n)
	}
	fmt.Fprintln(w)
	return nil
}

// printMinima compares the lowest daily mean of November to March with the sensor's.
func printMinima(w io.Writer, list []*sensors.Station, stations map[string]*forecast.Station) {
	bounds := []float64{-8, -2, -1, 0, 2, 4, 8, 25}
	type group struct{ n, sum, square, low, high float64 }
	groups := map[bool][]group{true: make([]group, len(bounds)), false: make([]group, len(bounds))}
	for _, g := range groups {
		for k := range g {
			g[k].low, g[k].high = math.Inf(1), math.Inf(-1)
		}
	}
	for _, x := range list {
		s := stations[x.Name]
		if s == nil {
			continue
		}
		for year := x.Record.First.Year() + 1; year < x.Record.Last().Year(); year++ {
			i := x.Record.Index(climate.Date(year, time.November, 1))
			j := x.Record.Index(climate.Date(year+1, time.March, 31))
			if i < 90 || j >= x.Record.Len() {
				continue
			}
			sensor, estimate, missing := math.Inf(1), math.Inf(1), 0
			for k := i; k <= j; k++ {
				if math.IsNaN(x.Soil5C[k]) {
					missing++
				} else {
					sensor = min(sensor, x.Soil5C[k])
				}
				estimate = min(estimate, s.Soil.Soil5C[k])
			}
			if missing > 5 {
				continue
			}
			for _, k := range []int{0, 1 + bin(bounds, estimate)} {
				g := &groups[x.Class == sensors.Humid][k]
				d := sensor - estimate
				g.n++
				g.sum += d
				g.square += d * d
				g.low, g.high = min(g.low, d), max(g.high, d)
			}
		}
	}
	fmt.Fprintln(w, "Sensor less estimate, lowest daily mean of November to March, °C.\n\n| stations | estimate | winters | mean | sd | lowest | highest |\n| --- | --- | --- | --- | --- | --- | --- |")
	for _, humid := range []bool{true, false} {
		name := map[bool]string{true: "humid", false: "dry and mountain"}[humid]
		for k, g := range groups[humid] {
			if g.n < 5 {
				continue
			}
			which := "all"
			if k > 0 {
				which = fmt.Sprintf("%g to %g", bounds[k-1], bounds[k])
			}
			mean := g.sum / g.n
			fmt.Fprintf(w, "| %s | %s | %.0f | %+.2f | %.2f | %+.1f | %+.1f |\n", name, which, g.n, mean,
				math.Sqrt(g.square/g.n-mean*mean), g.low, g.high)
		}
	}
}

// bin is the number of the interval between bounds that holds a value.
func bin(bounds []float64, v float64) int {
	k := 0
	for k < len(bounds)-2 && v >= bounds[k+1] {
		k++
	}
	return k
}
