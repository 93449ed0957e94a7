package fetch

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"swardcast/climate/stations"
)

// An Index is the list of stations.
type Index struct {
	Stations []Station // in the order of their ID
	Source   Source
}

// keptForm is a part of the keys of what is kept in a form of this package. Its number
// rises when a form changes, so that what was kept before counts as none.
const keptForm = "-1"

// Of the index: how large its files may be, and how often they are asked for.
const (
	indexKey          = "stations" + keptForm
	maxStationsBytes  = 32 << 20 // 9 MB today
	maxInventoryBytes = 96 << 20 // 32 MB today
	indexYoung        = 30 * 24 * time.Hour
	indexTime         = 10 * time.Minute
	stationsPath      = "ghcnd-stations.txt"
	inventoryPath     = "ghcnd-inventory.txt"
	dailyPath         = "pub/data/ghcn/daily/"
	minKept           = 0.9 // share of the stations of the old index that a new one has
)

// Index returns the stations that measured both temperatures over [MinYears] years. It
// is fetched once, kept in a compact form, and asked for again after a month.
func (c *Client) Index(ctx context.Context) (*Index, error) {
	e, stale, err := c.have(ctx, wanted{
		key:       indexKey,
		addresses: []string{c.Bases.at(NCEI, dailyPath+inventoryPath), c.Bases.at(Mirror, inventoryPath)},
		form:      form{types: textTypes, most: maxInventoryBytes, limit: indexTime},
		young:     indexYoung,
		take:      c.takeIndex,
	})
	if err != nil {
		return nil, fmt.Errorf("list of stations: %w", err)
	}
	list, err := stations.Unpack(e.Content)
	if err != nil {
		return nil, fmt.Errorf("list of stations: %w", err)
	}
	return &Index{list, e.source(stale)}, nil
}

// takeIndex makes the compact index of the inventory at an address and of the list of
// stations beside it.
func (c *Client) takeIndex(ctx context.Context, address string, content []byte, old *Entry) ([]byte, error) {
	years, err := parseInventory(content)
	if err != nil {
		return nil, err
	}
	beside := strings.TrimSuffix(address, inventoryPath) + stationsPath
	r, err := c.ask(ctx, beside, form{types: textTypes, most: maxStationsBytes, limit: indexTime}, nil)
	if err != nil {
		return nil, err
	}
	list, err := parseStations(r.content, years)
	if err != nil {
		return nil, err
	}
	if old != nil {
		if before, err := stations.Unpack(old.Content); err == nil &&
			float64(len(list)) < minKept*float64(len(before)) {
			return nil, refuse("it has %d stations, where there were %d", len(list), len(before))
		}
	}
	return stations.Pack(list), nil
}

// column returns columns first to last of a line, counted from 1, without blanks.
func column(line string, first, last int) string {
	if len(line) < first {
		return ""
	}
	return strings.TrimSpace(line[first-1 : min(last, len(line))])
}

const idLength = 11

// isID reports whether a text can be the ID of a station: 11 letters, digits, - and _.
func isID(s string) bool {
	return len(s) == idLength && strings.IndexFunc(s, func(r rune) bool {
		return !(r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_')
	}) < 0
}

type span struct{ tmax, tmin Years }

// parseInventory reads ghcnd-inventory.txt: fixed columns from 1, ID 1–11, element
// 32–35, first year 37–40, last year 42–45. It returns the years of the stations with
// both temperatures.
//
// Reference: GHCN-Daily readme, VII. Format of ghcnd-inventory.txt.
func parseInventory(content []byte) (map[string]span, error) {
	if err := wholeText(content); err != nil {
		return nil, err
	}
	found := map[string]span{}
	n := 0
	for raw := range bytes.Lines(content) {
		n++
		line := strings.TrimRight(string(raw), "\r\n")
		element := column(line, 32, 35)
		if element != "TMAX" && element != "TMIN" {
			if len(element) != 4 {
				return nil, refuse("line %d is not of an inventory", n)
			}
			continue
		}
		id := column(line, 1, idLength)
		first, errFirst := strconv.Atoi(column(line, 37, 40))
		last, errLast := strconv.Atoi(column(line, 42, 45))
		if !isID(id) || errFirst != nil || errLast != nil || first < 1600 || last < first || last > 9999 {
			return nil, refuse("line %d is not of an inventory", n)
		}
		s := found[id]
		if element == "TMAX" {
			s.tmax = Years{First: first, Last: last}
		} else {
			s.tmin = Years{First: first, Last: last}
		}
		found[id] = s
	}
	for id, s := range found {
		if s.tmax.First == 0 || s.tmin.First == 0 {
			delete(found, id)
		}
	}
	return found, nil
}

// missingElevation is how ghcnd-stations.txt writes an elevation that is not known.
const missingElevation = -999.9

// parseStations reads ghcnd-stations.txt: fixed columns from 1, ID 1–11, latitude
// 13–20, longitude 22–30, elevation 32–37, state 39–40, name 42–71. It returns the
// stations whose years are known and long enough.
//
// Reference: GHCN-Daily readme, IV. Format of ghcnd-stations.txt.
func parseStations(content []byte, years map[string]span) ([]Station, error) {
	if err := wholeText(content); err != nil {
		return nil, err
	}
	var list []Station
	n := 0
	for raw := range bytes.Lines(content) {
		n++
		line := strings.TrimRight(string(raw), "\r\n")
		id := column(line, 1, idLength)
		lat, errLat := strconv.ParseFloat(column(line, 13, 20), 64)
		lon, errLon := strconv.ParseFloat(column(line, 22, 30), 64)
		if !isID(id) || errLat != nil || errLon != nil || !onEarth(lat, lon) {
			return nil, refuse("line %d is not of a list of stations", n)
		}
		y, ok := years[id]
		if !ok {
			continue
		}
		s := Station{
			ID:       id,
			Name:     plainName(column(line, 42, 71)),
			State:    column(line, 39, 40),
			TMax:     y.tmax,
			TMin:     y.tmin,
			Position: Position{Latitude: lat, Longitude: lon, ElevationM: math.NaN()},
		}
		if e, err := strconv.ParseFloat(column(line, 32, 37), 64); err == nil && e > missingElevation {
			s.ElevationM = e
		}
		if s.Years().Count() >= MinYears {
			list = append(list, s)
		}
	}
	if len(list) == 0 {
		return nil, refuse("it has no station with %d years of both temperatures", MinYears)
	}
	return list, nil
}

// plainName keeps the printable ASCII of a name.
func plainName(s string) string {
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return ' '
		}
		return r
	}, s)), " ")
}
