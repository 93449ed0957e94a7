package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
)

// A last safe date can be read in two ways: from the quantile of the latest dates of
// past seasons, or from the chance of the sow dates, as the last day on which it
// reaches the confidence.
const (
	byQuantile = iota
	byChance
)

// A dateTally adds up what came of last safe dates of either kind, and of the
// chances that belong to them.
type dateTally struct {
	stations, seasons int
	n, held           [2][]float64 // by confidence
	square, days      [2]float64   // of chance less outcome, over the days of the seasons
	// the same within two weeks of the median latest date, and the logarithmic score there
	near, log     [2]float64
	nearDays      float64
	earlier, both float64 // days by which the 80 % date of the chances is earlier, over seasons that have both
}

// datesTable prints how last safe dates of either definition hold, each season
// forecast from the seasons before it.
func datesTable(w io.Writer, data string) error {
	fmt.Fprintln(w, "| cutoff | records | truth | seasons | read from | 50 % held in | 60 % | 70 % | 80 % | 90 % |"+
		" off the confidence, rms | 80 % date earlier by, days | Brier, every day of the season | within two weeks of the median | logarithmic score there |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	groups, err := longGroups(data)
	if err != nil {
		return err
	}
	withSensor, err := load(filepath.Join(data, "soil"), sensors.Turf)
	if err != nil {
		return err
	}
	irish, err := load(filepath.Join(data, "marine"), nil)
	if err != nil {
		return err
	}
	for _, rule := range rules {
		for _, g := range groups {
			var t dateTally
			for _, r := range g.records {
				s, err := forecast.NewStation(r)
				if err != nil {
					return fmt.Errorf("%s: %w", r.Place.Name, err)
				}
				if err := t.add(s, s, rule); err != nil {
					return fmt.Errorf("%s: %w", r.Place.Name, err)
				}
			}
			t.print(w, rule, g.name, "air")
		}
		for _, c := range classesOf(withSensor, irish) {
			var t dateTally
			for _, s := range c.stations {
				if err := t.add(s.Station, s.truth, rule); err != nil {
					return fmt.Errorf("%s: %w", s.name, err)
				}
			}
			t.print(w, rule, c.name, "sensor")
		}
	}
	return nil
}

// add judges the latest thirty seasons of a station by those of a truth.
func (t *dateTally) add(s, truth *forecast.Station, rule forecast.CutoffRule) error {
	every := forecast.Options{Cutoff: rule, FirstSeason: 1, LastSeason: 9999, Trend: forecast.TrendOff}
	own, err := s.Dates(every)
	if errors.Is(err, forecast.ErrNoSeasons) {
		return nil
	}
	if err != nil {
		return err
	}
	real, err := truth.Dates(every)
	if errors.Is(err, forecast.ErrNoSeasons) {
		return nil
	}
	if err != nil {
		return err
	}
	came := map[int]*forecast.Season{}
	for i := range real.Seasons {
		came[real.Seasons[i].Year] = &real.Seasons[i]
	}
	judged := false
	for i := max(forecast.FewSeasons, len(own.Seasons)-forecast.MaxSeasons); i < len(own.Seasons); i++ {
		year := own.Seasons[i].Year
		se := came[year]
		if se == nil {
			continue
		}
		w, err := s.Dates(forecast.Options{Cutoff: rule, Season: year,
			FirstSeason: own.Seasons[max(0, i-forecast.MaxSeasons)].Year, LastSeason: year - 1})
		if err != nil {
			return err
		}
		judged = true
		t.seasons++
		t.judge(w, se, s.Calendar)
	}
	if judged {
		t.stations++
	}
	return nil
}

// judge holds the dates and chances of a window against a season that came.
func (t *dateTally) judge(w *forecast.Window, se *forecast.Season, calendar climate.Calendar) {
	quantile := latestQuantile(w, calendar)
	made := func(d climate.Day) bool { return se.Latest != nil && d <= *se.Latest }
	for kind := range t.n {
		if t.n[kind] == nil {
			t.n[kind] = make([]float64, len(forecast.Confidences()))
			t.held[kind] = make([]float64, len(forecast.Confidences()))
		}
		for k, percent := range forecast.Confidences() {
			d, ok := w.LastInTime(percent)
			if kind == byQuantile {
				d, ok = quantile(1 - percent/100)
			}
			if ok {
				t.n[kind][k]++
				if made(d) {
					t.held[kind][k]++
				}
			}
		}
	}
	if q, ok := quantile(0.2); ok {
		if d, ok := w.LastInTime(80); ok {
			t.earlier += float64(q - d)
			t.both++
		}
	}
	middle, ok := quantile(0.5)
	// The chances that belong to the quantiles: the highest confidence whose date is
	// not before the day.
	const steps = 1000
	share := steps
	for d := calendar.First(se.Year); d <= calendar.Last(se.Year); d++ {
		for share > 0 {
			if q, ok := quantile(1 - float64(share)/steps); ok && q >= d {
				break
			}
			share--
		}
		came := 0.0
		if made(d) {
			came = 1
		}
		near := ok && math.Abs(float64(d-middle)) <= 14
		if near {
			t.nearDays++
		}
		for kind, chance := range [2]float64{float64(share) / steps, w.Chance(d)} {
			square := (chance - came) * (chance - came)
			t.square[kind] += square
			t.days[kind]++
			if near {
				t.near[kind] += square
				t.log[kind] -= math.Log(math.Max(1-math.Abs(chance-came), 1e-4))
			}
		}
	}
}

// latestQuantile returns the quantiles of the latest dates of a window's seasons,
// to the earlier day; a season without one counts as earlier than every date. It is
// false where a quantile is no date.
func latestQuantile(w *forecast.Window, calendar climate.Calendar) func(p float64) (climate.Day, bool) {
	latest := make([]float64, len(w.Adjusted))
	for i, se := range w.Adjusted {
		latest[i] = math.Inf(-1)
		if se.Latest != nil {
			latest[i] = float64(calendar.Offset(se.Year, *se.Latest))
		}
	}
	slices.Sort(latest)
	return func(p float64) (climate.Day, bool) {
		q := climate.Quantile(p, latest)
		if len(latest) < forecast.MinSeasons || math.IsInf(q, 0) {
			return 0, false
		}
		return calendar.Day(w.Season, int(math.Floor(q))), true
	}
}

func (t *dateTally) print(w io.Writer, rule forecast.CutoffRule, group, truth string) {
	if t.seasons == 0 {
		return
	}
	for kind, name := range [2]string{"the quantile", "the chances"} {
		fmt.Fprintf(w, "| %s | %s | %s | %d | %s |", rule, group, truth, t.seasons, name)
		square := 0.0
		for k, percent := range forecast.Confidences() {
			share := 100 * t.held[kind][k] / t.n[kind][k]
			fmt.Fprintf(w, " %.1f |", share)
			square += (share - percent) * (share - percent)
		}
		earlier := "–"
		if kind == byChance {
			earlier = fmt.Sprintf("%.1f", t.earlier/t.both)
		}
		fmt.Fprintf(w, " %.1f | %s | %.5f | %.4f | %.3f |\n", math.Sqrt(square/float64(len(forecast.Confidences()))),
			earlier, t.square[kind]/t.days[kind], t.near[kind]/t.nearDays, t.log[kind]/t.nearDays)
	}
}
