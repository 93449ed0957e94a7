package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast/soil"
)

// A definition says from which mean of the soil a crossing is read. A form that
// was tried stays as a line of definitions.
type definition struct {
	name    string
	weights []float64 // of the days up to ahead days after
	ahead   int
	// date is the rule of a form that is no mean: the first day of the season on
	// which soil that falls counts as below. nil: the mean crosses the threshold,
	// for the last time where sowing opens, for the first where dormancy begins.
	date func(soilC []float64, limit float64) int
}

var definitions = []definition{
	trailing(1), trailing(7), trailing(14), trailing(28), centred(7), centred(15), centred(29),
	gaussian(3), gaussian(5), gaussian(7), gaussian(10), gaussian(15), staysBelow(14), fallingFit(),
}

func trailing(n int) definition {
	name := "the day itself"
	if n > 1 {
		name = fmt.Sprintf("mean of the %d days up to it", n)
	}
	return definition{name: name, weights: slices.Repeat([]float64{1 / float64(n)}, n)}
}

func centred(n int) definition {
	return definition{
		name: fmt.Sprintf("mean of the %d days around it", n), ahead: n / 2,
		weights: slices.Repeat([]float64{1 / float64(n)}, n),
	}
}

func gaussian(sd int) definition {
	d := definition{name: fmt.Sprintf("Gaussian, sd %d days", sd), ahead: 3 * sd, weights: make([]float64, 6*sd+1)}
	sum := 0.0
	for i := range d.weights {
		z := float64(i-3*sd) / float64(sd)
		d.weights[i] = math.Exp(-z * z / 2)
		sum += d.weights[i]
	}
	for i := range d.weights {
		d.weights[i] /= sum
	}
	return d
}

// staysBelow is the first day from which the week's mean lies at or below the
// threshold for so many days.
func staysBelow(days int) definition {
	week := trailing(7)
	name := fmt.Sprintf("the week's mean stays below for %d days", days)
	return definition{name: name, date: func(soilC []float64, limit float64) int {
		run := 0
		for i, t := range week.mean(soilC) {
			if run++; !(t <= limit) {
				run = 0
			}
			if i >= lead && run >= days {
				return max(lead, i-days+1)
			}
		}
		return len(soilC)
	}}
}

// fallingFit is the crossing of the falling curve that fits the season's soil best
// by least squares: the day up to which the sum of the soil over the threshold is
// largest.
func fallingFit() definition {
	return definition{name: "best falling curve", date: func(soilC []float64, limit float64) int {
		sum, best, at := 0.0, 0.0, lead
		for i := lead; i < len(soilC); i++ {
			if sum += soilC[i] - limit; sum > best {
				best, at = sum, i+1
			}
		}
		return at
	}}
}

// mean is the weighted mean of each day, NaN where days are missing.
func (d *definition) mean(y []float64) []float64 {
	out := make([]float64, len(y))
	for i := range out {
		first := i + d.ahead - len(d.weights) + 1
		if first < 0 || i+d.ahead >= len(y) {
			out[i] = math.NaN()
			continue
		}
		for k, w := range d.weights {
			out[i] += w * y[first+k]
		}
	}
	return out
}

// lead is how many days a cut of the soil begins before its season.
const lead = 45

// A threshold is a crossing that definitions are judged by.
type threshold struct {
	name           string
	limitC         float64
	depth          soil.Depth
	opening        bool
	from, to       time.Month // first and last month in which it is sought
	needed, enough time.Month // from which to which month, its middle, the sensor must be there
}

var thresholds = []threshold{
	{
		"Opening, 75 °F at 10 cm",
		(75 - 32) / 1.8,
		soil.Depth10,
		true,
		time.July,
		time.December,
		time.June,
		time.December,
	},
	{
		"Opening, 70 °F at 10 cm",
		(70 - 32) / 1.8,
		soil.Depth10,
		true,
		time.July,
		time.December,
		time.June,
		time.December,
	},
	{
		"Dormancy, 55 °F at 10 cm",
		(55 - 32) / 1.8,
		soil.Depth10,
		false,
		time.August,
		time.January,
		time.July,
		time.February,
	},
	{
		"Dormancy, 40 °F at 5 cm",
		(40 - 32) / 1.8,
		soil.Depth5,
		false,
		time.August,
		time.January,
		time.July,
		time.February,
	},
}

// crosses returns the first day on which soil that falls counts as below: past
// the season where it never does.
func (t *threshold) crosses(d *definition, soilC []float64, last int) int {
	if d.date != nil {
		return min(d.date(soilC[:last+1], t.limitC), last+1)
	}
	mean := d.mean(soilC)
	if t.opening {
		i := last
		for ; i >= lead && !(mean[i] > t.limitC); i-- {
		}
		return i + 1
	}
	i := lead
	for ; i <= last && !(mean[i] <= t.limitC); i++ {
	}
	return i
}

// chances returns the chance to have crossed by each day, given the error of the
// estimate.
func (t *threshold) chances(d *definition, soilC []float64, first climate.Day, last int) []float64 {
	r := soil.ResidualAt(t.depth)
	own, mean := r.WeightedMeanSD(d.weights), d.mean(soilC)
	out := make([]float64, last+2)
	out[last+1] = 1
	standard := func(i int) float64 {
		_, month, _ := (first + climate.Day(i)).Date()
		return (t.limitC - mean[i]) / math.Hypot(r.Site(month, false), own)
	}
	if t.opening {
		z := math.Inf(1)
		for i := last; i >= lead; i-- {
			z = math.Min(z, standard(i))
			out[i] = normalCDF(z)
		}
		return out
	}
	z := math.Inf(-1)
	for i := lead; i <= last; i++ {
		z = math.Max(z, standard(i))
		out[i] = normalCDF(z)
	}
	return out
}

// byFall returns the same with a standard deviation in days: the error of the
// soil over the fall of its normal course, at least 0.05 °C a day.
func (t *threshold) byFall(d *definition, at int, first climate.Day, last int, normal climate.Normal) []float64 {
	r := soil.ResidualAt(t.depth)
	day := first + climate.Day(at)
	_, month, _ := day.Date()
	fall := math.Max(0.05, (normal.At(day-15)-normal.At(day+15))/30)
	sd := math.Hypot(r.Site(month, false), r.WeightedMeanSD(d.weights)) / fall
	out := make([]float64, last+2)
	for i := lead; i <= last; i++ {
		out[i] = normalCDF((float64(i) + 0.5 - float64(at)) / sd)
	}
	out[last+1] = 1
	return out
}

func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// A cut is one season of soil, by the sensor and by the estimate.
type cut struct {
	first         climate.Day
	last          int // index of the last day on which the crossing is sought
	truth, soilC  []float64
	normal        climate.Normal
	station, year int
}

// cuts returns the seasons in which the sensor is there where it is needed: no
// more than five days in a row and twelve in all missing, filled with the estimate
// and the error around them.
func (t *threshold) cuts(stations []*sensors.Station, estimates []*soil.Curve) ([]cut, error) {
	var out []cut
	for si, s := range stations {
		truth, soilC := s.Soil10C, estimates[si].Soil10C
		if t.depth == soil.Depth5 {
			truth, soilC = s.Soil5C, estimates[si].Soil5C
		}
		normal, err := climate.FitNormal(s.Record.First, soilC, 3)
		if err != nil {
			return nil, err
		}
		for year := s.Record.First.Year(); year <= s.Record.Last().Year(); year++ {
			end := climate.Date(year, t.to+1, 1) - 1
			needed, enough := climate.Date(year, t.needed, 25), climate.Date(year, t.enough, 15)
			if t.to < t.from {
				end, enough = climate.Date(year+1, t.to+1, 1)-1, climate.Date(year+1, t.enough, 15)
			}
			first := climate.Date(year, t.from, 1) - lead
			i, j := s.Record.Index(first), s.Record.Index(end+lead)
			if i < ownDays || j >= s.Record.Len() ||
				!enoughDays(truth[s.Record.Index(needed):s.Record.Index(enough)+1]) {
				continue
			}
			whole := bridged(truth[i:j+1], soilC[i:j+1])
			out = append(out, cut{first, int(end - first), whole, soilC[i : j+1], normal, si, year})
		}
	}
	return out, nil
}

func enoughDays(y []float64) bool {
	run, all := 0, 0
	for _, v := range y {
		if run++; !math.IsNaN(v) {
			run = 0
			continue
		}
		if all++; run > 5 || all > 12 {
			return false
		}
	}
	return true
}

// bridged fills gaps of a series with another and the difference to either side.
func bridged(y, other []float64) []float64 {
	out := slices.Clone(y)
	before := -1
	difference := func(i int) float64 { return y[i] - other[i] }
	fill := func(to int, at func(i int) float64) {
		for i := before + 1; i < to; i++ {
			out[i] = other[i] + at(i)
		}
	}
	for i, v := range y {
		if math.IsNaN(v) {
			continue
		}
		if before < 0 {
			fill(i, func(int) float64 { return difference(i) })
		} else {
			fill(i, func(k int) float64 {
				w := float64(k-before) / float64(i-before)
				return (1-w)*difference(before) + w*difference(i)
			})
		}
		before = i
	}
	fill(len(y), func(int) float64 { return difference(before) })
	return out
}

// A verdict is how a definition does against the sensors.
type verdict struct {
	n               float64
	miss            float64 // mean absolute error of the date
	drawn, climate  float64 // continuous ranked probability scores, days
	holds, heldFall float64 // seasons in the 80 % interval
}

// crps is the continuous ranked probability score of chances to have crossed by
// each day, days.
func crps(by []float64, came int) float64 {
	sum := 0.0
	for i, p := range by {
		if i >= came {
			p--
		}
		sum += p * p
	}
	return sum
}

// inside is the part of the truth's day that lies between the 10 and 90 %
// quantiles: of a day on which much of the chance lies, a part.
func inside(by []float64, came int) float64 {
	before := 0.0
	if came > 0 {
		before = by[came-1]
	}
	if by[came] <= before {
		if before >= 0.1 && before <= 0.9 {
			return 1
		}
		return 0
	}
	return math.Max(0, math.Min(by[came], 0.9)-math.Max(before, 0.1)) / (by[came] - before)
}

// judge compares a definition applied to the estimate with the same applied to
// the sensor.
func (t *threshold) judge(d *definition, cuts []cut) (v verdict) {
	came := make([]int, len(cuts))
	for k := range cuts {
		came[k] = t.crosses(d, cuts[k].truth, cuts[k].last)
	}
	for k := range cuts {
		c := &cuts[k]
		// What the sensor's own other seasons would have said.
		own, n := make([]float64, c.last+2), 0.0
		for o := range cuts {
			if o != k && cuts[o].station == c.station {
				n++
				for i := came[o]; i < len(own); i++ {
					own[i]++
				}
			}
		}
		if n < 5 {
			continue
		}
		for i := range own {
			own[i] /= n
		}
		at := t.crosses(d, c.soilC, c.last)
		v.n++
		v.miss += math.Abs(float64(at - came[k]))
		v.climate += crps(own, came[k])
		if d.date == nil {
			by := t.chances(d, c.soilC, c.first, c.last)
			v.drawn += crps(by, came[k])
			v.holds += inside(by, came[k])
			v.heldFall += inside(t.byFall(d, at, c.first, c.last, c.normal), came[k])
		}
	}
	v.miss, v.climate, v.drawn = v.miss/v.n, v.climate/v.n, v.drawn/v.n
	v.holds, v.heldFall = 100*v.holds/v.n, 100*v.heldFall/v.n
	return v
}

// printDefinitions compares the definitions, each station's soil estimated by the
// model fitted to the others.
func printDefinitions(w io.Writer, stations []*sensors.Station) error {
	estimates, err := leftOut(stations)
	if err != nil {
		return err
	}
	for k := range thresholds {
		t := &thresholds[k]
		cuts, err := t.cuts(stations, estimates)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "#### %s\n\n", t.name)
		n := 0.0
		rows := ""
		for i := range definitions {
			d := &definitions[i]
			v := t.judge(d, cuts)
			n = v.n
			row := fmt.Sprintf("| %s | %.1f | – | %.1f | – | – | – |\n", d.name, v.miss, v.climate)
			if d.date == nil {
				row = fmt.Sprintf("| %s | %.1f | %.1f | %.1f | %+.2f | %.0f %% | %.0f %% |\n",
					d.name, v.miss, v.drawn, v.climate, 1-v.drawn/v.climate, v.holds, v.heldFall)
			}
			rows += row
		}
		fmt.Fprintf(w, "%.0f seasons.\n\n", n)
		fmt.Fprintln(
			w,
			"| read from | date misses by | CRPS | CRPS of the sensor's climate | skill | 80 % interval holds | by the fall of the normal |",
		)
		fmt.Fprintf(w, "| --- | --- | --- | --- | --- | --- | --- |\n%s\n", rows)
	}
	return nil
}
