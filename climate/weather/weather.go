// Package weather makes invented daily weather: an annual cycle, weather that
// persists from day to day, years that differ, cold outbreaks, wet spells. It
// serves demonstrations, tests and benchmarks. It is no model of any real place
// and its figures are invented.
package weather

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
)

// A Climate holds the parameters that weather is drawn from. Temperatures are in
// °C.
type Climate struct {
	Place       climate.Place
	Mean        float64 // of the year
	Amplitude   float64 // half the swing of the year
	Warmest     int     // day of the year of the peak
	Swing       float64 // mean difference of a day's highest and lowest
	SummerSD    float64 // of the daily mean about its normal
	WinterSD    float64
	YearSD      float64 // of a year's mean
	Persistence float64 // lag-one correlation of the daily mean
	Outbreaks   float64 // cold outbreaks in the cold half of a year
	OutbreakC   float64 // mean depth of an outbreak
	WetShare    float64 // share of days with rain
	WetMM       float64 // mean rain of a wet day, mm
}

// Piedmont returns the invented climate of the demonstration station, where
// warm-season turf is overseeded in autumn.
func Piedmont() Climate {
	return Climate{
		Place: climate.Place{Name: "Wrenfield Green (invented)", Latitude: new(35.4), Longitude: new(-84.6),
			ElevationM: new(240.0)},
		Mean: 15.2, Amplitude: 10.2, Warmest: 202, Swing: 11.6,
		SummerSD: 2.3, WinterSD: 4.8, YearSD: 0.5, Persistence: 0.72,
		Outbreaks: 4, OutbreakC: 7, WetShare: 0.31, WetMM: 10.5,
	}
}

// Generate draws the weather of the days from first to last. The same seed
// gives the same record. Values are rounded to tenths.
func Generate(c Climate, seed uint64, first, last climate.Day) *climate.Record {
	random := rand.New(rand.NewPCG(seed, 0x5eed))
	n := int(last-first) + 1
	rec := climate.NewRecord(c.Place, first, n)
	rec.PrecipMM = make([]float64, n)
	rain := distuv.Gamma{Alpha: 0.75, Beta: 0.75 / c.WetMM, Src: random}

	anomaly, outbreak, year, wet := 0.0, 0.0, 0.0, false
	for i := range n {
		d := rec.Day(i)
		if i == 0 || d.YearDay() == 1 {
			year = c.YearSD * random.NormFloat64()
		}
		// warmth runs from -1 in midwinter to 1 in midsummer.
		warmth := math.Cos(2 * math.Pi * float64(d.YearDay()-c.Warmest) / climate.TropicalYear)
		sd := c.WinterSD + (c.SummerSD-c.WinterSD)*(1+warmth)/2
		anomaly = c.Persistence*anomaly + sd*math.Sqrt(1-c.Persistence*c.Persistence)*random.NormFloat64()
		outbreak *= 0.68
		if warmth < 0.35 && random.Float64() < c.Outbreaks/205 {
			outbreak -= c.OutbreakC * (0.5 + random.ExpFloat64()/2)
		}
		stay := 0.5 // chance that a wet day is followed by another
		enter := c.WetShare * (1 - stay) / (1 - c.WetShare)
		if wet {
			wet = random.Float64() < stay
		} else {
			wet = random.Float64() < enter
		}
		swing := c.Swing * (1 + 0.18*random.NormFloat64())
		if wet {
			swing *= 0.72
			rec.PrecipMM[i] = tenths(rain.Rand())
		}
		mean := c.Mean + c.Amplitude*warmth + year + anomaly + outbreak
		rec.TMaxC[i] = tenths(mean + math.Max(1, swing)/2)
		rec.TMinC[i] = tenths(mean - math.Max(1, swing)/2)
	}
	return rec
}

func tenths(v float64) float64 { return math.Round(v*10) / 10 }
