package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
)

// A group is records that are judged together.
type group struct {
	name    string
	records []*climate.Record
}

// minLongYears is what a record must span to be judged over decades.
const minLongYears = 40

// longGroups are the records that the trend is judged on: those over decades, then
// those of the stations with sensors.
func longGroups(data string) ([]group, error) {
	var out []group
	for _, g := range []struct{ name, dir, class string }{
		{"four US cities since 1948–1960", "long", ""}, {"Irish stations over 40 years", "marine", ""},
		{"US network, humid", "soil", "humid"}, {"US network, dry", "soil", "dry"},
		{"US network, mountain", "soil", "mountain"},
	} {
		records, err := sensors.LoadAir(filepath.Join(data, g.dir), func(class string) bool {
			return g.class == "" || class == g.class
		})
		if err != nil {
			return nil, err
		}
		x := group{name: g.name}
		for _, r := range records {
			if g.class != "" || r.Len() > minLongYears*365 {
				x.records = append(x.records, r)
			}
		}
		out = append(out, x)
	}
	return out, nil
}

// trendTable prints what bringing past seasons to the climate of the season does,
// run forward: the last thirty seasons of each record, each from the seasons before
// it.
func trendTable(w io.Writer, data string) error {
	groups, err := longGroups(data)
	if err != nil {
		return err
	}
	fmt.Fprintln(
		w,
		"| cutoff | records | stations | seasons | 80 % date held in: trend off | on | 90 % date: off | on |"+
			" Brier before the season: off | on | change | better, worse at | dates shifted by, days |",
	)
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, rule := range []forecast.CutoffRule{forecast.CutoffFreeze, forecast.CutoffEarliest} {
		for _, g := range groups {
			if err := trendRow(w, rule, g); err != nil {
				return err
			}
		}
	}
	return nil
}

func trendRow(w io.Writer, rule forecast.CutoffRule, g group) error {
	var off, on tally
	better, worse := 0, 0
	for _, r := range g.records {
		s, err := forecast.NewStation(r)
		if err != nil {
			return fmt.Errorf("%s: %w", r.Place.Name, err)
		}
		judge := func(trend forecast.TrendRule) (*forecast.Hindcast, error) {
			return s.Hindcast(context.Background(), forecast.HindcastOptions{
				Options: forecast.Options{Cutoff: rule, Trend: trend}, Leads: []forecast.Lead{forecast.LeadSeason},
			})
		}
		a, err := judge(forecast.TrendOff)
		if errors.Is(err, forecast.ErrFewSeasons) || errors.Is(err, forecast.ErrNoSeasons) {
			continue // too short to judge by
		}
		if err != nil {
			return fmt.Errorf("%s: %w", r.Place.Name, err)
		}
		b, err := judge(forecast.TrendOn)
		if err != nil {
			return fmt.Errorf("%s: %w", r.Place.Name, err)
		}
		off.add(a)
		on.add(b)
		x, _ := a.Brier("")
		y, _ := b.Brier("")
		if y.Score < x.Score {
			better++
		} else if y.Score > x.Score {
			worse++
		}
	}
	share := func(t *tally, percent float64) float64 {
		for _, l := range t.hindcast.Levels {
			if l.Confidence == percent {
				x, _, _ := l.Share()
				return 100 * x
			}
		}
		panic("judge: no such level")
	}
	x, _ := off.hindcast.Brier("")
	y, _ := on.hindcast.Brier("")
	_, err := fmt.Fprintf(
		w,
		"| %s | %s | %d | %d | %.1f %% | %.1f %% | %.1f %% | %.1f %% |"+
			" %.4f | %.4f | %+.1f %% | %d, %d | %+.1f |\n",
		rule,
		g.name,
		off.stations,
		len(off.hindcast.Seasons),
		share(&off, 80),
		share(&on, 80),
		share(&off, 90),
		share(&on, 90),
		x.Score,
		y.Score,
		100*(y.Score/x.Score-1),
		better,
		worse,
		mean(on.hindcast.Shift),
	)
	return err
}
