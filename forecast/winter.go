package forecast

import (
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// A WinterRisk is the chance that a stand is lost over winter, in a word.
type WinterRisk string

// The risks. The limits are ours.
const (
	WinterLow      WinterRisk = "low"      // under one in ten
	WinterModerate WinterRisk = "moderate" // up to one in three
	WinterHigh     WinterRisk = "high"     // one in three and more
	WinterUnknown  WinterRisk = "unknown"  // what is not known leaves it anywhere from low to high
)

const (
	lowRisk  = 0.1
	highRisk = 1.0 / 3
)

// winterRiskOf is the risk of a chance to be alive in spring, with its interval.
func winterRiskOf(alive, low, high float64) WinterRisk {
	switch {
	case 1-high < lowRisk && 1-low >= highRisk:
		return WinterUnknown
	case 1-alive < lowRisk:
		return WinterLow
	case 1-alive < highRisk:
		return WinterModerate
	}
	return WinterHigh
}

// WinterCause is what leaves the risk of winter open.
type WinterCause string

// The causes.
const (
	// Winters are cold enough for snow to lie, which shelters plants; no snow is on record.
	WinterSnow WinterCause = "snow"
	// Soil of dry climates freezes deeper than the estimate, which is of moist ones.
	WinterDry      WinterCause = "dry"
	WinterNoRain   WinterCause = "no-rain"   // the record has no rain, so that it may be such a climate
	WinterNoFigure WinterCause = "no-figure" // the species has no figure of hardiness
	WinterFigures  WinterCause = "figures"   // the figures of the species are too rough
	WinterSeed     WinterCause = "seed"      // much of the seed is not up by winter, and whether it lives is disputed
)

// A Winter is what winter makes of a sowing, whether or not it established before.
type Winter struct {
	// Alive is the share of the stand alive in spring, the mean of the seasons; Low and High
	// are its interval, IntervalPercent wide.
	Alive, Low, High float64
	Risk             WinterRisk  // of losing it
	Coldest          Spread      // lowest soil between the depths of 2 and 5 cm after sowing, °C
	Kills            Spread      // temperature that kills half of the plants at that time, °C
	Up               float64     // share of the seed that is up by the coldest day
	Growth           float64     // part of the way from up to mature by then
	Open             WinterCause // the first thing that leaves the risk open; "" for none

	established, notEstablished float64 // shares alive where it established before the cutoff, and where not
}

const (
	// The lowest soil of a winter at 5 cm, sensor less estimate, over 479 winters of humid
	// stations: mean −0.5 °C, standard deviation 1.1 °C where the estimate is above −1 °C and
	// 2.1 °C below (D, docs/validation.md). 518 winters of dry and mountain stations: −3.0 °C
	// and 2.5 °C.
	winterBias, winterSD, winterSDCold = -0.5, 1.1, 2.1
	winterColdC                        = -1.0
	dryBias, drySD                     = -3.0, 2.5
	dryRainMM                          = 600.0 // a year, the limit of the humid stations

	// Where the mean air of December to February is lower, snow is taken to lie for weeks
	// (the limit of Köppen's cold climates; from memory, unverified).
	snowC = -3.0

	crownShallowM = 0.02 // upper end of the crown's depth, m
	winterShared  = 0.5  // part of the variance that every season shares
)

// A winterCourse is a station made ready for winter: the range of soil that crowns meet each
// day, and how far plants harden.
type winterCourse struct {
	*Station
	growth
	air, germ []float64 // running sums of degree days, of the air above 0 °C and of germination
	warm      []float64 // soil at 5 cm, daily mean, °C
	cold      []float64 // lowest of the day at 2 cm, °C
	harden    []float64 // part of full hardiness that the day's soil leads to
	snow, dry bool
	noRain    bool
}

// winterCourse works out what crowns meet. The lowest temperature of a day at 2 cm is the
// daily mean, drawn on from 5 and 10 cm, less the daily wave of the surface faded to that
// depth ([soil.DailySwing]). What hangs on the species lies in mem.
func (s *Station) winterCourse(mem *memory, o *Options, g growth) *winterCourse {
	n := s.Record.Len()
	warm := s.Soil.Soil5C
	c := &winterCourse{Station: s, growth: g, warm: warm, germ: mem.take(n + 1)}
	c.germ[0] = 0
	germinating, germinated := o.Species.Germinating(), 0.0
	for i, t := range warm {
		germinated += germinating.DegreeDays(t)
		c.germ[i+1] = germinated
	}
	c.air = s.means.air.get(func() []float64 { return s.airGrowth(s.memory).sum })
	c.cold = s.means.cold.get(func() []float64 {
		cold, swing := s.memory.take(n), soil.DailySwingAt(crownShallowM)
		for i := range cold {
			shallow := warm[i] + (warm[i]-s.Soil.Soil10C[i])*(0.05-crownShallowM)/0.05
			cold[i] = min(shallow, warm[i]) - swing(s.Record.TMaxC[i]-s.Record.TMinC[i])
		}
		return cold
	})
	c.harden = s.means.harden.get(func() []float64 {
		harden := s.memory.take(n)
		for i, t := range warm {
			harden[i] = turf.Hardening(t)
		}
		return harden
	})
	return c
}

// climateOfWinter sets what the record as a whole says: whether snow lies, whether the climate
// is dry.
func (s *Station) climateOfWinter() (snow, dry, noRain bool) {
	c := &s.means.winter
	c.once.Do(func() { c.snow, c.dry, c.noRain = s.findClimateOfWinter() })
	return c.snow, c.dry, c.noRain
}

func (s *Station) findClimateOfWinter() (snow, dry, noRain bool) {
	sum, days, rain, rainDays := 0.0, 0.0, 0.0, 0.0
	winter := [3]int{12, 1, 2}
	if s.Calendar.South {
		winter = [3]int{6, 7, 8}
	}
	rec := s.Record
	isWinter, next := false, 0 // index of the first day of the next month
	for i := range rec.TMaxC {
		if i == next {
			year, m, _ := rec.Day(i).Date()
			isWinter, next = slices.Contains(winter[:], int(m)), rec.Index(climate.Date(year, m+1, 1))
		}
		if isWinter {
			sum += (rec.TMaxC[i] + rec.TMinC[i]) / 2
			days++
		}
		if rec.PrecipMM != nil && !math.IsNaN(rec.PrecipMM[i]) {
			rain += rec.PrecipMM[i]
			rainDays++
		}
	}
	snow = days > 0 && sum/days < snowC
	noRain = rainDays < minRain*float64(rec.Len())
	dry = !noRain && rain/rainDays*climate.TropicalYear < dryRainMM
	return snow, dry, noRain
}

// A winterOf is one season's winter for one sowing.
type winterOf struct {
	alive, low, high float64 // share alive; the same with what is not known at its worst and best
	coldest, kills   float64 // lowest soil; what kills half of the plants at the worst time, °C
	up               float64 // share up at that time
	growth           float64 // part of the way to mature when the ground is coldest
	waiting          float64 // share of the seed that has not germinated by then
	hasFigures       bool
	seedDoubted      bool // whether waiting seed lives is not known
}

// winter follows a sowing on day i up to the last day, and takes the day on which the soil
// comes nearest to what kills.
//
// Of the plants that are up as many live as the soil leaves, Φ(margin/sd) with the margin of
// the soil over [turf.Species.KillTemp], and as many of these as frost leaves where the ground
// freezes:
//
//	1 − frozen (1 − young) (1 − growth)
//
// Seed that has germinated and is not up is as a stand just up. Seed that has not germinated
// lies until spring; of a ryegrass it may or may not.
func (c *winterCourse) winter(sp *turf.Species, i, last int) winterOf {
	up := c.reach(i, sp.Emerged.Value)
	out := winterOf{alive: 1, low: 1, high: 1, coldest: math.NaN(), kills: math.NaN(), up: 1, growth: 1,
		seedDoubted: !turf.DormantSeeding(sp.ID)}
	if i > last {
		return out
	}
	step := 1 - math.Exp(-1/turf.HardenDays)
	at, margin, sd, hardened, coldest := i, math.Inf(1), 0.0, 0.0, math.Inf(1)
	freeze := math.Inf(1) // lowest daily mean at 5 cm, which freezes the ground
	for d := i; d <= last; d++ {
		grown := 0.0
		if d >= up {
			hardened += step * (c.harden[d] - hardened)
			grown = sp.MatureShare(c.air[d+1] - c.air[i])
		}
		middle := (c.warm[d] + c.cold[d]) / 2
		coldest = min(coldest, middle)
		kills, killsSD, ok := sp.KillTemp(hardened, grown)
		out.hasFigures = ok
		if c.warm[d] < freeze {
			freeze, out.growth = c.warm[d], grown
		}
		if middle-kills < margin {
			at, margin, out.kills = d, middle-kills, kills
			sd = math.Hypot(killsSD, (c.warm[d]-c.cold[d])/math.Sqrt(12))
		}
	}
	out.up = sp.EmergedShare(c.progress(i, at))
	germinated := max(out.up, sp.GerminatedShare(c.germ[at+1]-c.germ[i]))
	out.waiting = 1 - germinated

	bias, soilSD := winterBias, winterSD
	if c.warm[at] < winterColdC {
		soilSD = winterSDCold
	}
	if c.dry {
		bias, soilSD = dryBias, drySD
	}
	out.coldest = coldest + bias
	just, justSD, _ := sp.KillTemp(0, 0)
	// alive is the share alive with the error that every season shares shifted by z of its
	// standard deviations, given the share that frost leaves of a stand just up and the share
	// of waiting seed that lives.
	alive := func(z, bias, young, seed float64) float64 {
		lives := func(margin, sd float64) float64 {
			all := math.Hypot(sd, soilSD)
			if z == 0 {
				return normalCDF((margin + bias) / all)
			}
			return normalCDF((margin + bias + z*all*math.Sqrt(winterShared)) / (all * math.Sqrt(1-winterShared)))
		}
		spoilt := normalCDF(-(freeze+bias)/soilSD) * (1 - young)
		isUp, notUp := 1-spoilt*(1-out.growth), 1-spoilt
		if out.hasFigures {
			isUp *= lives(margin, sd)
			notUp *= lives(c.warm[at]-just, justSD)
		}
		return out.up*isUp + (germinated-out.up)*notUp + (1-germinated)*seed
	}
	young, seed, seedLow := sp.YoungSurvival.Value, 1.0, 1.0
	if out.seedDoubted {
		seed, seedLow = 0.5, 0
	}
	if !out.hasFigures {
		young = 1
	}
	z, worst := intervalZ, bias
	if c.noRain {
		worst = dryBias
	}
	out.alive = alive(0, bias, young, seed)
	out.low = min(out.alive, alive(-z, worst, young/2, seedLow))
	out.high = max(out.alive, alive(z, bias, (1+young)/2, 1))
	if c.snow { // under it neither cold nor frost reaches the plants
		out.high = 1
	}
	return out
}

// winterFrom sums up the winters of seasons; made is the chance of each to have established.
func winterFrom(all []winterOf, made []float64, c *winterCourse) *Winter {
	if len(all) == 0 {
		nan := math.NaN()
		return &Winter{Alive: nan, Low: nan, High: nan, Risk: WinterUnknown, Up: nan, Growth: nan,
			Coldest: quantiles(nil), Kills: quantiles(nil), established: nan, notEstablished: nan}
	}
	w := &Winter{}
	n := float64(len(all))
	var coldest, kills []float64
	var in, but [2]float64
	seed, figures, doubted := 0.0, true, false
	for k, x := range all {
		w.Alive += x.alive / n
		w.Low += x.low / n
		w.High += x.high / n
		w.Up += x.up / n
		w.Growth += x.growth / n
		seed += x.waiting / n
		figures, doubted = figures && x.hasFigures, x.seedDoubted
		if !math.IsNaN(x.coldest) {
			coldest, kills = append(coldest, x.coldest), append(kills, x.kills)
		}
		in[0] += made[k] * x.alive
		in[1] += made[k]
		but[0] += (1 - made[k]) * x.alive
		but[1] += 1 - made[k]
	}
	w.established, w.notEstablished = w.Alive, w.Alive
	if in[1] > 0 {
		w.established = in[0] / in[1]
	}
	if but[1] > 0 {
		w.notEstablished = but[0] / but[1]
	}
	w.Coldest, w.Kills = quantiles(coldest), quantiles(kills)
	w.Risk = winterRiskOf(w.Alive, w.Low, w.High)
	switch {
	case !figures && 1-w.Alive < lowRisk:
		w.Risk, w.Open = WinterUnknown, WinterNoFigure
		if w.Coldest.P10 > 0 { // the ground does not freeze
			w.Risk = WinterLow
		}
	case doubted && seed > lowRisk:
		w.Open = WinterSeed
	case c.snow:
		w.Open = WinterSnow
	case c.dry:
		w.Open = WinterDry
	case c.noRain && w.Risk == WinterUnknown:
		w.Open = WinterNoRain
	case w.Risk == WinterUnknown:
		w.Open = WinterFigures
	}
	return w
}

func quantiles(v []float64) Spread {
	if len(v) < MinSeasons {
		return Spread{math.NaN(), math.NaN(), math.NaN()}
	}
	slices.Sort(v)
	return Spread{climate.Quantile(0.1, v), climate.Quantile(0.5, v), climate.Quantile(0.9, v)}
}

// Success returns the chance of the sowing to establish and to live through winter. With a
// host, whose winter colour it is sown for, both are needed. On a lawn a stand that lives
// without having established before the cutoff counts half (our choice): it goes on in
// spring. Where nothing is known of winter it is Chance.
func (o *Outlook) Success() float64 {
	w := o.Winter
	if math.IsNaN(w.Alive) {
		return o.Chance
	}
	in := o.Chance * w.established
	if o.Options.Host.ID != "none" {
		return in
	}
	return in + (1-o.Chance)*w.notEstablished/2
}

// Winters returns what winter makes of sowings on days of the season of a window, over its
// seasons. A day of another season is taken at its date. Where no season that was used
// reaches its last day, the shares are NaN.
func (s *Station) Winters(w *Window, sows []climate.Day) []*Winter {
	snow, dry, noRain := s.climateOfWinter()
	s = s.inClimate(w.Trend)
	mem := growthMemory.Get().(*memory)
	defer mem.free()
	c := s.winterCourse(mem, &w.Options, s.growthIn(mem, &w.Options))
	c.snow, c.dry, c.noRain = snow, dry, noRain
	out := make([]*Winter, len(sows))
	for k, sow := range sows {
		var all []winterOf
		var made []float64
		x := s.offset(w.Season, sow)
		for j := range w.Adjusted {
			se := &w.Adjusted[j]
			i, last := s.Record.Index(s.Calendar.Day(se.Year, int(x))), s.Record.Index(se.RecordEnd)
			if i < 0 || i > last || se.RecordEnd < se.Last {
				continue
			}
			all, made = append(all, c.winter(&w.Options.Species, i, last)), append(made, se.latest.from(x))
		}
		out[k] = winterFrom(all, made, c)
	}
	return out
}

// winter is what winter makes of a sowing in the members.
func (e *Ensemble) winter(o *Options, seasons []Season, grown []grownMember, sow climate.Day) *Winter {
	var all []winterOf
	var made []float64
	snow, dry, noRain := e.station.climateOfWinter()
	var last *winterCourse
	for k := range grown {
		m := grown[k].Station
		i, end := m.Record.Index(sow), m.Record.Len()-1
		if i < 0 || i > end || m.Record.Last() < m.Calendar.Last(e.Season) {
			continue
		}
		if grown[k].course == nil {
			grown[k].course = m.winterCourse(m.memory, o, grown[k].growth)
			grown[k].course.snow, grown[k].course.dry, grown[k].course.noRain = snow, dry, noRain
		}
		last = grown[k].course
		all = append(all, last.winter(&o.Species, i, end))
		made = append(made, seasons[k].latest.from(e.station.offset(e.Season, sow)))
	}
	return winterFrom(all, made, last)
}
