package services_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/fetch/fetchtest"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/compare"
	"swardcast/cmd/internal/fetch"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/freeze"
	"swardcast/cmd/internal/hindcast"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/outlook"
	"swardcast/cmd/internal/record"
	"swardcast/cmd/internal/secondpass"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/services"
	"swardcast/cmd/internal/soil"
	"swardcast/cmd/internal/species"
	"swardcast/cmd/internal/station"
	"swardcast/cmd/internal/window"
	"swardcast/cmd/internal/words"
)

var commands = []*cli.Command{
	window.Command, outlook.Command, secondpass.Command, compare.Command, seed.Command, hindcast.Command,
	soil.Command, freeze.Command, record.Command, species.Command, station.Command, fetch.Command,
}

// A host is a machine with a cache of its own, a server of the services and a clock.
type host struct {
	t      *testing.T
	server *fetchtest.Server
	env    map[string]string
	now    time.Time
}

func newHost(t *testing.T) *host {
	t.Helper()
	s := fetchtest.New()
	t.Cleanup(s.Close)
	return &host{t, s, map[string]string{
		"SWARDCAST_CACHE": filepath.Join(
			t.TempDir(),
			"cache",
		), "SWARDCAST_BASE": s.Bases(), "SWARDCAST_CONTACT": "keeper@example.org",
	}, s.Now}
}

func (h *host) later(d time.Duration) {
	h.now = h.now.Add(d)
	h.server.Now = h.now
}

// run runs a command line. Words between ' are one.
func (h *host) run(line string) (status int, stdout, stderr string) {
	h.t.Helper()
	var out, messages bytes.Buffer
	p := &cli.Program{
		Name: "swardcast", Commands: commands, Hint: hint.For, Files: files.Disk{}, Online: services.Live{},
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &messages,
		Now: func() time.Time { return h.now }, Getenv: func(name string) string { return h.env[name] },
	}
	status = p.Main(h.t.Context(), split(line))
	return status, out.String(), messages.String()
}

func split(line string) []string {
	var args []string
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			args = append(args, part)
		} else {
			args = append(args, strings.Fields(part)...)
		}
	}
	return args
}

func (h *host) answer(line string) (stdout, stderr string) {
	h.t.Helper()
	status, stdout, stderr := h.run(line)
	if status != cli.Answered {
		h.t.Fatalf("%s: status %d: %s", line, status, stderr)
	}
	return stdout, stderr
}

// Addresses of the services, as the server has them.
const (
	inventory = "/ncei/pub/data/ghcn/daily/ghcnd-inventory.txt"
	stations  = "/ncei/pub/data/ghcn/daily/ghcnd-stations.txt"
	wrenfield = "/mirror/csv/by_station/XX000000001.csv"
	moor      = "/mirror/csv/by_station/XX000000007.csv"
	point     = "/nws/points/35.4,-84.6"
	grid      = "/nws/gridpoints/XXX/12,34"
	norway    = "/met/weatherapi/locationforecast/2.0/complete?altitude=95&lat=52.6&lon=-7.9"
)

// Each command asks these addresses and no others, the first time on a machine; and
// nothing where no station of a service is asked for.
func TestAddresses(t *testing.T) {
	record := []string{inventory, stations, wrenfield}
	forecast := []string{inventory, stations, wrenfield, point, grid}
	const sow = " --sow 2026-10-05"
	for line, want := range map[string][]string{
		"window --near 35.39,-84.62":                                                    forecast,
		"window --near '35°23.4N 84.62W'":                                               forecast,
		"window --station-id XX000000001":                                               forecast,
		"window --station-id XX000000001 --as-of 2025-09-01":                            record,
		"window --near 52.5,-7.8 --host none":                                           {inventory, stations, moor, norway},
		"outlook --near 35.39,-84.62" + sow:                                             forecast,
		"second-pass --near 35.39,-84.62 --first 2026-10-01 --cover 30 --seed-found no": forecast,
		"compare --near 35.39,-84.62" + sow:                                             forecast,
		"soil --near 35.39,-84.62":                                                      forecast,
		"freeze --near 35.39,-84.62":                                                    record,
		"record --near 35.39,-84.62":                                                    record,
		"station --near 35.39,-84.62":                                                   {inventory, stations},
		"station wrenfield":                                                             {inventory, stations},
		"fetch --near 35.39,-84.62":                                                     record,
		"fetch XX000000001 -o " + filepath.Join(t.TempDir(), "a.csv") + " --ahead " + filepath.Join(t.TempDir(), "b.csv"): forecast,
		"window":                         nil,
		"outlook" + sow:                  nil,
		"compare":                        nil,
		"soil":                           nil,
		"freeze":                         nil,
		"record":                         nil,
		"seed --area 5000ft2":            nil,
		"species":                        nil,
		"help window":                    nil,
		"help fetch":                     nil,
		"station":                        nil,
		"fetch":                          nil,
		"window --offline":               nil,
		"window --near 35,-84 --offline": nil,
		"window --near 35,-84 x.csv":     nil,
		"window --near 35,-84 --lat 3":   nil,
		"window --near 35,-84 --base ncei=http://example.org/": nil,
	} {
		h := newHost(t)
		_, _, stderr := h.run(line)
		if got := h.server.Asked(); !slices.Equal(got, want) {
			t.Errorf("%s\n asks  %q\n not   %q\n%s", line, got, want, stderr)
		}
		if n := strings.Count(stderr, "swardcast: asking "); n != len(want) {
			t.Errorf("%s: %d requests are told, not %d", line, n, len(want))
		}
	}
}

// hindcast runs for long.
func TestAddressesOfHindcast(t *testing.T) {
	if testing.Short() {
		t.Skip("a hindcast")
	}
	h := newHost(t)
	h.answer("hindcast --near 35.39,-84.62 --years 2000-2024")
	if got, want := h.server.Asked(), []string{inventory, stations, wrenfield, point, grid}; !slices.Equal(got, want) {
		t.Errorf("asks %q", got)
	}
}

type sourceJSON struct {
	Station struct {
		Name     string
		LastDate climate.Day `json:"last_date"`
		Source   *struct {
			StationID  string  `json:"station_id"`
			DistanceKM float64 `json:"distance_km"`
			URL        string
			Fetched    time.Time
			Checked    time.Time
			Stale      string
			DaysOld    int `json:"days_old"`
			Citation   string
			Forecast   *struct {
				Service, Attribution, Zone, Stale string
				Issued                            time.Time
				Filled                            []climate.Day `json:"filled_dates"`
				Ahead                             []climate.Day `json:"ahead_dates"`
				Lacking                           int           `json:"missing_day_count"`
			}
		} `json:"fetched_from"`
	}
}

func (h *host) source(line string) sourceJSON {
	h.t.Helper()
	stdout, _ := h.answer(line + " --format json")
	var s sourceJSON
	if err := json.Unmarshal([]byte(stdout), &s); err != nil {
		h.t.Fatal(err)
	}
	if s.Station.Source == nil {
		h.t.Fatalf("%s: no source", line)
	}
	return s
}

func days(from climate.Day, n int) []climate.Day {
	var list []climate.Day
	for i := range n {
		list = append(list, from+climate.Day(i))
	}
	return list
}

// What an answer is made of is said: station, distance, age, which days are a forecast's
// and which nobody knows.
func TestNothingIsSilent(t *testing.T) {
	h := newHost(t)
	today := climate.Date(2026, time.October, 14)
	s := h.source("outlook --near 35.39,-84.62 --sow 2026-10-05").Station
	if s.Source.StationID != "XX000000001" || !(s.Source.DistanceKM > 2 && s.Source.DistanceKM < 2.3) ||
		s.Source.DaysOld != 3 ||
		s.LastDate != today-3 ||
		!strings.Contains(s.Source.Citation, "Menne et al. 2012") {
		t.Errorf("%+v", s)
	}
	f := s.Source.Forecast
	// The record ends three days ago, and the forecast begins today.
	if f == nil || !slices.Equal(f.Filled, days(today, 1)) || !slices.Equal(f.Ahead, days(today+1, 6)) ||
		f.Lacking != 2 ||
		f.Zone != "America/New_York" {
		t.Fatalf("%+v", f)
	}
	text, messages := h.answer("outlook --near 35.39,-84.62 --sow 2026-10-05")
	for _, want := range []string{"station XX000000001", "1.3 mi away", "its last day is 3 days before Oct 14, 2026", "Menne et al. 2012",
		"1 day up to today (2026-10-14) is of a forecast", "2 days before today not known", "6 days ahead", "US National Weather Service",
		"forecast for the next 6 days", "(the last 1 day of it forecast)"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("the answer has no %q", want)
		}
	}
	for _, want := range []string{"2.1 km (1.3 mi) away", "record to 2026-10-11", "1 day up to today (2026-10-14) is of a forecast", "made on 2026-10-14 08:50 UTC"} {
		if !strings.Contains(messages, want) {
			t.Errorf("standard error has no %q:\n%s", want, messages)
		}
	}
	// Three days on, the days that were forecast then are filled, and the record goes on.
	h.later(3 * 24 * time.Hour)
	s = h.source("outlook --near 35.39,-84.62 --sow 2026-10-05").Station
	if f := s.Source.Forecast; s.LastDate != today || !slices.Equal(f.Filled, days(today+1, 3)) || f.Lacking != 0 {
		t.Errorf("three days on: record to %s, %+v", s.LastDate, f)
	}
	// As of an earlier day there is no forecast: what was forecast then is not known.
	if s := h.source("outlook --near 35.39,-84.62 --sow 2025-10-05 --as-of 2025-10-12").Station; s.Source.Forecast != nil ||
		s.LastDate != climate.Date(2025, time.October, 12) {
		t.Errorf("%+v", s)
	}
}

// The rows that a forecast puts ahead are those that fetch writes and --outlook-file
// reads: the answer is the same.
func TestSameByHand(t *testing.T) {
	h := newHost(t)
	dir := t.TempDir()
	mine, next := filepath.Join(dir, "mine.csv"), filepath.Join(dir, "next.csv")
	_, messages := h.answer("fetch --near 35.39,-84.62 -o " + mine + " --ahead " + next)
	if !strings.Contains(messages, "no forecast has the 2 days between 2026-10-11 and 2026-10-14") {
		t.Errorf("messages %s", messages)
	}
	content, err := os.ReadFile(next)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(
		string(content),
		"date,tmax_c,tmin_c,prcp_mm,lead\n2026-10-14,21.5,9.5,6.0,0\n2026-10-15,20.5,8.5,6.0,1\n2026-10-16,19.5,7.5,,2\n",
	) ||
		!strings.Contains(string(content), "# Forecast: US National Weather Service") {
		t.Errorf("forecast rows\n%s", content)
	}
	record, err := os.ReadFile(mine)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(record), "# Source: GHCN-Daily, NOAA") ||
		!strings.Contains(
			string(record),
			"Station Name: WRENFIELD GREEN (INVENTED)\nLatitude: 35.4, Longitude: -84.6\nElevation: 240 m\n",
		) {
		t.Errorf("record\n%.400s", record)
	}
	f, err := recordfile.Read(bytes.NewReader(record), "mine.csv", recordfile.Options{})
	if err != nil || f.Unit != recordfile.Celsius || f.Record.Last() != climate.Date(2026, time.October, 11) {
		t.Fatalf("%v", err)
	}
	// The day of the forecast that has begun is past seasons' by hand, since it lies before
	// the as-of day; so look from the record's end.
	var one, two struct {
		Stages json.RawMessage
		Chance json.RawMessage
	}
	stdout, _ := h.answer(
		"outlook " + mine + " --outlook-file " + next + " --sow 2026-10-05 --as-of 2026-10-13 --format json",
	)
	if err := json.Unmarshal([]byte(stdout), &one); err != nil {
		t.Fatal(err)
	}
	h.now = h.now.Add(-24 * time.Hour) // yesterday, with what was fetched today
	stdout, _ = h.answer("outlook --near 35.39,-84.62 --offline --sow 2026-10-05 --format json")
	if err := json.Unmarshal([]byte(stdout), &two); err != nil {
		t.Fatal(err)
	}
	if len(one.Stages) == 0 || !bytes.Equal(one.Stages, two.Stages) {
		t.Errorf("by hand %s\nfetched %s", one.Stages, two.Stages)
	}
}

// MET Norway is named in every form of an answer that uses its rows.
func TestAttribution(t *testing.T) {
	h := newHost(t)
	line := "outlook --near 52.5,-7.8 --host none --species tall-fescue --sow 2026-10-05"
	for _, format := range []string{"text", "json", "html", "svg", "ics"} {
		stdout, stderr := h.answer(line + " --format " + format)
		if format == "ics" { // lines are folded, commas escaped
			stdout = strings.ReplaceAll(strings.ReplaceAll(stdout, "\r\n ", ""), `\,`, ",")
		}
		if !strings.Contains(strings.Join(strings.Fields(stdout), " "), "MET Norway, CC BY 4.0") {
			t.Errorf("%s does not name MET Norway", format)
		}
		if !strings.Contains(stderr, "MET Norway, CC BY 4.0") {
			t.Error("standard error does not name MET Norway")
		}
	}
	// Without a contact there is no forecast, and an answer.
	g := newHost(t)
	delete(g.env, "SWARDCAST_CONTACT")
	if _, stderr := g.answer(line); !strings.Contains(
		stderr,
		"forecast: MET Norway answers only programs that send a contact; answering without it",
	) ||
		!strings.Contains(stderr, "hint: set the variable SWARDCAST_CONTACT") {
		t.Errorf("%s", stderr)
	}
}

// Without a network there is a clear sentence, and the cached answer with its age.
func TestWithoutNetwork(t *testing.T) {
	h := newHost(t)
	const line = "outlook --near 35.39,-84.62 --sow 2026-10-05"
	status, _, stderr := h.run(line + " --offline")
	if status != cli.NoAnswer || !strings.Contains(stderr, "list of stations: offline, and not fetched before") ||
		!strings.Contains(stderr, "hint: leave --offline out") {
		t.Errorf("status %d, %s", status, stderr)
	}
	h.answer(line)
	h.server.Close()
	h.now = h.now.Add(4 * 24 * time.Hour)
	h.server.Asked()
	for _, offline := range []string{"", " --offline"} {
		text, stderr := h.answer(line + offline)
		why := "the service takes no connection"
		if offline != "" {
			why = "offline"
		}
		if !strings.Contains(stderr, "fetched 4 days ago") ||
			!strings.Contains(stderr, "the record was not refreshed: "+why) ||
			!strings.Contains(stderr, "the forecast was not refreshed: "+why) {
			t.Errorf("%q:\n%s", offline, stderr)
		}
		if text := strings.Join(strings.Fields(text), " "); !strings.Contains(text, "fetched on Oct 14, 2026 09:30 UTC") {
			t.Errorf("%q: the answer does not say how old it is:\n%s", offline, text)
		}
	}
	// Without anything kept.
	g := newHost(t)
	g.server.Close()
	status, _, stderr = g.run(line)
	if status != cli.NoAnswer || !strings.Contains(stderr, "takes no connection") ||
		!strings.Contains(stderr, "hint: try again later, or fetch the record by hand") {
		t.Errorf("status %d, %s", status, stderr)
	}
}

func TestRefusedLines(t *testing.T) {
	h := newHost(t)
	for line, want := range map[string]string{
		"window --near 95,0":                                              "not on Earth",
		"window --near Raleigh":                                           "write latitude and longitude",
		"window --near 35,-84 --station-id XX000000001":                   "both name a station",
		"window --near 35,-84 x.csv":                                      "a FILE, x.csv, and --near",
		"window --near 35,-84 --temp-unit F":                              "--temp-unit is of a FILE",
		"window --station-id XX000000001 --base x=http://127.0.0.1/":      "unknown service",
		"window --station-id XX000000001 --base ncei=http://example.org/": "is not https",
		"window --station-id nonsense":                                    "no station nonsense",
		"window --station-id XX000000005":                                 "no station XX000000005 with both temperatures over 10 years",
		"station":                                                         "no place, ID or name given",
		"station a b":                                                     "one ID or part of a name",
		"station atlantis":                                                "no station was found",
		"station --near 35,-84 --limit 0":                                 "not above 0",
		"fetch":                                                           "either the ID of a station or --near",
		"fetch XX000000001 --near 35,-84":                                 "either the ID of a station or --near",
		"fetch XX000000001 --ahead -":                                     "cannot go to the same file",
		"compare a.csv b.csv --near 35,-84":                               "a FILE, a.csv",
	} {
		if status, stdout, stderr := h.run(line); status == cli.Answered || stdout != "" ||
			!strings.Contains(stderr, want) {
			t.Errorf("%s: status %d: %s", line, status, stderr)
		}
	}
	// A program without a network says so.
	p := &cli.Program{
		Name:     "swardcast",
		Commands: commands,
		Files:    files.Disk{},
		Stdin:    strings.NewReader(""),
		Stdout:   &bytes.Buffer{},
		Stderr:   &bytes.Buffer{},
	}
	if status := p.Main(t.Context(), split("window --near 35,-84")); status != cli.NoAnswer ||
		!strings.Contains(p.Stderr.(*bytes.Buffer).String(), "reaches no network") {
		t.Errorf("status %d: %s", status, p.Stderr)
	}
}

// A cache that is damaged, cut, or not a folder.
func TestDamagedCache(t *testing.T) {
	h := newHost(t)
	const line = "record --station-id XX000000001"
	want, _ := h.answer(line)
	cache := h.env["SWARDCAST_CACHE"]
	file := filepath.Join(cache, "record-1-XX000000001")
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	flipped := bytes.Clone(content)
	flipped[len(flipped)/2] ^= 0xff
	for what, damaged := range map[string][]byte{"cut": content[:len(content)/2], "empty": {}, "flipped": flipped, "text": []byte("ID,DATE\n")} {
		if err := os.WriteFile(file, damaged, 0o600); err != nil {
			t.Fatal(err)
		}
		if got, stderr := h.answer(line); got != want {
			t.Errorf("%s: another answer, %s", what, stderr)
		}
	}
	entries, err := os.ReadDir(cache)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".swardcast-") {
			t.Errorf("%s is left behind", e.Name())
		}
	}
	if info, err := os.Stat(cache); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the cache is open to others: %v, %v", info.Mode(), err)
	}
	h.env["SWARDCAST_CACHE"] = file // no folder
	if status, _, stderr := h.run(line); status != cli.NoAnswer ||
		!strings.Contains(stderr, "hint: name another folder by the variable SWARDCAST_CACHE") {
		t.Errorf("status %d, %s", status, stderr)
	}
}

// Runs at the same time ask once: the others wait for the cache and take what it has.
func TestAtTheSameTime(t *testing.T) {
	h := newHost(t)
	var all sync.WaitGroup
	answers := make([]string, 4)
	for i := range answers {
		all.Go(func() { answers[i], _ = h.answer("freeze --station-id XX000000001") })
	}
	all.Wait()
	for _, a := range answers {
		if a != answers[0] || a == "" {
			t.Error("the answers differ")
		}
	}
	if got := h.server.Asked(); len(got) != 3 {
		t.Errorf("asked %q", got)
	}
}

// The forms of a list of stations.
func TestStation(t *testing.T) {
	h := newHost(t)
	text, _ := h.answer("station --near 35.39,-84.62")
	for l := range strings.Lines(text) {
		if words.Width(strings.TrimSuffix(l, "\n")) > words.Columns {
			t.Errorf("%d cells: %s", words.Width(l), l)
		}
	}
	for _, want := range []string{"Best: WRENFIELD GREEN (INVENTED), TN (XX000000001), 1.3 mi away, with 36 years", "4 others follow.", "swardcast window --station-id XX000000001"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	metric, _ := h.answer("station --near 35.39,-84.62 --units metric --limit 1")
	if !strings.Contains(metric, "2.1 km away") || strings.Contains(metric, "follow") {
		t.Errorf("%s", metric)
	}
	var list struct {
		Schema   string
		Stations []struct {
			ID         string
			Latitude   float64
			ElevationM *float64 `json:"elevation_m"`
			DistanceKM *float64 `json:"distance_km"`
			Reasons    []string
			Years      int `json:"year_count"`
		}
	}
	stdout, _ := h.answer("station --near 35.39,-84.62 --format json")
	if err := json.Unmarshal([]byte(stdout), &list); err != nil {
		t.Fatal(err)
	}
	if list.Schema != "swardcast.station/2" || len(list.Stations) != 5 || list.Stations[0].Years != 36 ||
		list.Stations[2].ElevationM != nil ||
		!slices.Equal(list.Stations[0].Reasons, []string{"long", "current", "near", "similar height"}) {
		t.Errorf("%+v", list)
	}
	rows, _ := h.answer("station xx000000004 --format csv")
	if !strings.HasPrefix(
		rows,
		"id,name,state,latitude,longitude,elevation_m,distance_km,above_m,first_year,last_year,year_count,reasons,cost_km\nXX000000004,OLD HOLLOW (INVENTED),TN,35.38,-84.57,250,,,1940,1998,59,long,",
	) {
		t.Errorf("%s", rows)
	}
	if page, _ := h.answer("station hollow --silent --format html"); !strings.Contains(page, "OLD HOLLOW") {
		t.Error("the page lacks the station")
	}
}
