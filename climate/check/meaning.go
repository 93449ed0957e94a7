package check

import (
	"errors"
	"fmt"
	"math"

	"swardcast/climate"
)

// ErrColumns is the error of a record whose columns of highest and lowest temperatures
// hold something else.
var ErrColumns = errors.New("the columns do not hold the highest and lowest temperatures")

const (
	columnDays  = 365 // days with both temperatures that are needed
	minRangeC   = 1.0 // °C, median of highest less lowest; of 94 records the least is 4.3
	minTogether = 0.3 // correlation of highest and lowest; of 94 records the least is 0.52
)

// Columns returns [ErrColumns] where one column seems to hold the values of the other,
// such as daily means in both, or values that have nothing to do with it, such as the
// decimals that a comma cut off. It is nil for a record of less than a year, and where there are no seasons the
// second is not looked for. The test is
// our own.
func Columns(r *climate.Record) error {
	if known, near := rangesNear(r); known < columnDays {
		return nil
	} else if near {
		m := medianRange(r, known)
		return fmt.Errorf("%w: on half of the days the highest lies less than %.1f °C from the lowest; "+
			"daily means stand in both, or one column is read twice", ErrColumns, math.Ceil(math.Abs(m)*10+1)/10)
	}
	if c, ok := correlation(r.TMaxC, r.TMinC, 0); ok && c < minTogether && hasSeasons(r) {
		return fmt.Errorf("%w: the two do not rise and fall together (correlation %.2f); "+
			"decimal commas cut in two, or another column", ErrColumns, c)
	}
	return nil
}

// rangesNear counts the days with both temperatures, and reports whether the median of
// highest less lowest lies within minRangeC of 0, which a count of those below and above
// tells.
func rangesNear(r *climate.Record) (known int, near bool) {
	below, above := 0, 0
	lo := r.TMinC[:len(r.TMaxC)]
	for i, v := range r.TMaxC {
		switch d := v - lo[i]; {
		case d >= minRangeC:
			above++
		case d <= -minRangeC:
			below++
		case !math.IsNaN(d):
			known++
		}
	}
	known += below + above
	middle := known / 2
	return known, middle >= below && middle < known-above
}

// medianRange is the median of highest less lowest, °C, over so many days.
func medianRange(r *climate.Record, known int) float64 {
	ranges := make([]float64, 0, known)
	for i := range r.TMaxC {
		if !r.Missing(i) {
			ranges = append(ranges, r.TMaxC[i]-r.TMinC[i])
		}
	}
	return climate.Nth(ranges, known/2)
}

// zeroTest is the name of the test of [ZerosForMissing].
const zeroTest = "zero-for-missing"

const (
	zeroOutliers = 5   // zeros that are outliers, spikes or beyond the other temperature
	zeroShare    = 0.5 // of all such values of the series that they are
)

// ZerosForMissing finds every value of exactly 0 °C, or of exactly 0 °F, of a series in
// which zeros are the rule among the outliers, spikes and inconsistent values: missing values are written as
// zero there, and those in the cold months cannot be told from measured ones. suspect are
// those that the other tests found in r. The test is our own.
func ZerosForMissing(r *climate.Record, suspect []Suspect) []Suspect {
	var out []Suspect
	for _, s := range series(r) {
		for _, zero := range []struct {
			unit string
			is   func(float64) bool
		}{{"°C", isZeroC}, {"°F", isZeroF}} {
			all, zeros := 0, 0
			for _, d := range suspect {
				isZero := zero.is(s.values[r.Index(d.First)])
				switch {
				case d.Test == "consistency" && isZero: // the other column may as well be wrong
				case d.Series != s.name || d.Test != "outlier" && d.Test != "spike":
					continue
				}
				all++
				if isZero {
					zeros++
				}
			}
			if zeros < zeroOutliers || float64(zeros) < zeroShare*float64(all) {
				continue
			}
			for i, v := range s.values {
				if zero.is(v) {
					out = append(out, Suspect{Test: zeroTest, Series: s.name,
						First: r.Day(i), Last: r.Day(i),
						Reason: fmt.Sprintf("the %s temperature is exactly 0 %s, which stands for a missing value "+
							"in this record: on %d days it is far off the season", s.word, zero.unit, zeros)})
				}
			}
		}
	}
	return out
}

// ErrCourse is the error of a record whose dates do not fit the sun at its latitude.
var ErrCourse = errors.New("the dates do not fit the latitude")

// hasSeasons reports whether either column swings over the year. Where neither does, as
// at the equator, the two need not rise and fall together.
func hasSeasons(r *climate.Record) bool {
	normals, err := climate.FitNormals(r.First, 1, r.TMaxC, r.TMinC)
	return err == nil && math.Max(normals[0].Amplitude(), normals[1].Amplitude()) >= courseSwingC
}

const (
	courseLatitude = 25  // °, from which the sun sets the warmest day
	courseSwingC   = 2.5 // °C, swing to either side from which there is a warmest day
	lagLeast       = -10 // days from the solstice of summer to the warmest day; of 94 records
	lagMost        = 90  // it is 20 to 46
	lagUsual       = 10  // days under which it is doubted,
	lagLate        = 70  // and above which
)

// Place compares the course of the year with the sun at the record's latitude. It
// returns [ErrCourse] where the warmest day lies where the sun of either hemisphere
// cannot put it, and in words why the latitude or the dates are in doubt. A record of
// the other hemisphere is left to [climate.ErrHemisphere]. It finds nothing in a record
// without a latitude or of less than most of a year.
//
// The limits of the swing and the mean by latitude are ours, from memory, and wide: they
// hold for Verkhoyansk, Death Valley and Tromsø. So a latitude is doubted that is off by tens
// of degrees, not by a few.
func Place(r *climate.Record) (doubts []string, err error) {
	if r.Place.Latitude == nil {
		return nil, nil
	}
	latitude := *r.Place.Latitude
	mean := make([]float64, r.Len())
	for i := range mean {
		mean[i] = (r.TMaxC[i] + r.TMinC[i]) / 2
	}
	normal, err := climate.FitNormal(r.First, mean, 1)
	if err != nil {
		return nil, nil // too short to have a course
	}
	swing, away := normal.Amplitude(), math.Abs(latitude)
	if most := 2 + 0.45*away; swing > most {
		doubts = append(doubts, fmt.Sprintf("Is latitude %g right? The air swings %.1f °C to either side over the "+
			"year; at that latitude no land swings more than about %.0f °C.", latitude, swing, most))
	}
	if most := 35 - 0.5*math.Max(0, away-20); normal.Mean > most {
		doubts = append(doubts, fmt.Sprintf("Is latitude %g right? The air averages %.1f °C over the years; "+
			"at that latitude no land averages more than about %.0f °C.", latitude, normal.Mean, most))
	}
	if away < courseLatitude || swing < courseSwingC {
		return doubts, nil
	}
	peak := normal.Peak(2001)
	solstice := climate.Date(2001, 6, 21)
	if latitude < 0 {
		solstice = climate.Date(2001, 12, 21)
	}
	lag := math.Mod(float64(peak-solstice)+1.5*climate.TropicalYear, climate.TropicalYear) - climate.TropicalYear/2
	words := fmt.Sprintf("it is warmest about %s, %.0f days %s the longest day; 3 to 7 weeks after it is usual",
		peak.Format("2 January"), math.Abs(lag), map[bool]string{true: "before", false: "after"}[lag < 0])
	switch {
	case otherLag(lag): // the other hemisphere
	case lag < lagLeast || lag > lagMost:
		return doubts, fmt.Errorf("%w: %s", ErrCourse, words)
	case lag < lagUsual || lag > lagLate:
		doubts = append(doubts, "Are the dates right? By them "+words+".")
	}
	return doubts, nil
}

// otherLag reports whether the lag is a usual one from the solstice of the other
// hemisphere.
func otherLag(lag float64) bool {
	lag += climate.TropicalYear / 2
	if lag > climate.TropicalYear/2 {
		lag -= climate.TropicalYear
	}
	return lag >= lagLeast && lag <= lagMost
}
