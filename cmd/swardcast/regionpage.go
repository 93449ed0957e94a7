package main

import (
	"fmt"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
)

// pageForm is a page: the table of every station, of which its script makes a
// map. It holds no more of the stations than their number and the first and last
// of their dates.
type pageForm struct {
	page     *page.RegionPage
	names    map[string]string
	settings string
	middle   float64 // confidence of the column that the map shows
	asked    float64
	sums     []regionSum
}

// A regionSum is what the rows of a species come to.
type regionSum struct {
	species           string
	stations, without int
	earliest, latest  safeDay
}

// A safeDay is a last safe date; those of different seasons compare by the days
// from the first of theirs.
type safeDay struct {
	day   climate.Day
	after int
}

func newPageForm(options []forecast.Options, middle float64, settings string) *pageForm {
	f := &pageForm{names: map[string]string{}, settings: settings, middle: middle, asked: options[0].Confidence}
	f.page = &page.RegionPage{Kind: "Seeding windows of a region", Middle: fmt.Sprintf("%g %%", middle), Version: version(),
		Answer: "The seeding window of every station: when sowing opens, and until which day it is safe."}
	for _, o := range options {
		f.names[o.Species.ID] = o.Species.Name
		f.page.Species = append(f.page.Species, page.Choice{ID: o.Species.ID, Name: o.Species.Name})
		f.sums = append(f.sums, regionSum{species: o.Species.ID})
	}
	return f
}

func (f *pageForm) head() []byte { return f.page.Head() }

func regionDate(d *climate.Day) page.RegionDate {
	if d == nil {
		return page.RegionDate{Shown: "–"}
	}
	return page.RegionDate{Sorted: d.String(), Shown: shortDate(*d)}
}

func (f *pageForm) rows(rows []regionRow, _ bool) []byte {
	var out []page.RegionRow
	for _, r := range rows {
		safe := r.AtConfidence
		if f.middle != f.asked {
			safe = r.LastSafeP80
		}
		s := &f.sums[slices.IndexFunc(f.sums, func(s regionSum) bool { return s.species == r.Species })]
		first := climate.CalendarAt(float64(r.Latitude)).First(r.Season)
		s.add(safe, first)
		out = append(out, page.RegionRow{Station: r.Station, Latitude: float64(r.Latitude), Longitude: float64(r.Longitude), SpeciesID: r.Species, Species: f.names[r.Species], First: first.String(),
			Seasons: r.SeasonsUsed, Opens: regionDate(r.OpensP50), Safe90: regionDate(r.LastSafeP90), Safe: regionDate(safe), Safe50: regionDate(r.LastSafeP50), Cutoff: regionDate(r.CutoffP50)})
	}
	return f.page.Rows(out)
}

func (s *regionSum) add(safe *climate.Day, first climate.Day) {
	s.stations++
	if safe == nil {
		s.without++
		return
	}
	d := safeDay{*safe, int(*safe - first)}
	if none := s.stations-s.without == 1; none || d.after < s.earliest.after {
		s.earliest = d
	}
	if s.latest.day == 0 || d.after > s.latest.after {
		s.latest = d
	}
}

func (f *pageForm) foot() []byte {
	var sums []page.RegionSum
	for _, s := range f.sums {
		sum := page.RegionSum{Species: f.names[s.species], Stations: s.stations, Without: s.without, Earliest: "–", Latest: "–"}
		if s.without < s.stations {
			sum.Earliest, sum.Latest = longDate(s.earliest.day), longDate(s.latest.day)
		}
		sums = append(sums, sum)
	}
	return f.page.Foot(sums, f.settings, accuracy, cautions())
}

func (*pageForm) key(string) (rowKey, bool) { return rowKey{}, false }
