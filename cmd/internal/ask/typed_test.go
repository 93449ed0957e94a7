package ask

import (
	"bytes"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// instead are the values that an error says to type instead.
func instead(err error) string {
	var v *cli.ValueError
	if errors.As(err, &v) {
		return strings.Join(v.Instead, " ")
	}
	return ""
}

func TestTypedQuantities(t *testing.T) {
	const lb, ft2 = words.GramsPerPound, words.SquareFoot
	for _, c := range []struct {
		of    units
		typed string
		want  float64 // 0: refused
		say   string  // unit understood, or what to type instead
	}{
		{areaUnits, "3200 sq ft", 3200 * ft2, "ft2"},
		{areaUnits, "3,200 ft2", 3200 * ft2, "ft2"},
		{areaUnits, "3,200 sq. ft.", 3200 * ft2, "ft2"},
		{areaUnits, "5000 square feet", 5000 * ft2, "ft2"},
		{areaUnits, "5000SF", 5000 * ft2, "ft2"},
		{areaUnits, "0.5 acre", 0.5 * words.Acre, "ac"},
		{areaUnits, ".5ac", 0.5 * words.Acre, "ac"},
		{areaUnits, "2 Hectares", 20000, "ha"},
		{areaUnits, "450 m²", 450, "m2"},
		{areaUnits, "100 square yards", 900 * ft2, "yd2"},
		{areaUnits, "5000", 0, "5000ft2 5000m2"},
		{areaUnits, "0,5 acre", 0, "0.5ac"},
		{areaUnits, "3,20 ft2", 0, "3.20ft2"},
		{areaUnits, "-5ft2", 0, ""},
		{areaUnits, "5 lb", 0, "5ft2 5m2"},
		{areaUnits, "a lot", 0, "5000ft2 450m2 0.5ac 0.2ha"},
		{weightUnits, "14 lbs", 14 * lb, "lb"},
		{weightUnits, "14 Pounds", 14 * lb, "lb"},
		{weightUnits, "2 kilos", 2000, "kg"},
		{weightUnits, "14", 0, "14lb 14kg"},
		{rateUnits, "5 lb/1000 sq ft", 5 * words.PoundPer1000SquareFeet, "lb/1000ft2"},
		{rateUnits, "5 lbs per 1,000 sq. ft", 5 * words.PoundPer1000SquareFeet, "lb/1000ft2"},
		{rateUnits, "5lb/1000", 5 * words.PoundPer1000SquareFeet, "lb/1000ft2"},
		{rateUnits, "220 lb/acre", 220 * lb / words.Acre, "lb/ac"},
		{rateUnits, "25 g per m²", 25, "g/m2"},
		{rateUnits, "250 kg/ha", 25, "kg/ha"},
		{rateUnits, "5 lb", 0, "5lb/1000ft2 5g/m2"},
		{lengthUnits, "18'", 18 * words.MetresPerFoot, "ft"},
	} {
		q := Quantity{units: c.of}
		err := q.Set(c.typed)
		switch {
		case c.want == 0 && (err == nil || instead(err) != c.say):
			t.Errorf("%q: %g, %v, instead %q; want %q", c.typed, q.Value, err, instead(err), c.say)
		case c.want != 0 && (err != nil || math.Abs(q.Value/c.want-1) > 1e-12 || q.Unit != c.say):
			t.Errorf("%q: %g %s, %v; want %g %s", c.typed, q.Value, q.Unit, err, c.want, c.say)
		}
	}
	for _, typed := range []string{"60ftx40ft", "60 x 40 ft", "60 ft by 40 ft", "60' × 40'", "60X40feet"} {
		if v, err := parseRectangle(typed); err != nil || math.Abs(v/(2400*ft2)-1) > 1e-12 {
			t.Errorf("%q: %g, %v", typed, v, err)
		}
	}
	for _, typed := range []string{"60", "60x40", "60ftx40lb", "1ftx2ftx3ft", ""} {
		if v, err := parseRectangle(typed); err == nil {
			t.Errorf("%q: %g", typed, v)
		}
	}
}

func TestTypedPercents(t *testing.T) {
	for typed, want := range map[string]float64{
		"40": 40, "40%": 40, "40 %": 40, "40 percent": 40, "0": 0, "0.5%": 0.5, "1%": 1, "99.5": 99.5, " 12 ": 12,
	} {
		var v float64
		if err := (&percent{&v, "share", 100}).Set(typed); err != nil || v != want {
			t.Errorf("%q: %g, %v", typed, v, err)
		}
	}
	for typed, want := range map[string]string{
		"0.4": "40%", ".98": "98%", "0.005": "0.5%", "1": "1% 100%", "1.0": "1% 100%", "101": "", "-4": "",
		"NaN": "40%", "x": "40%",
	} {
		v := -1.0
		err := (&percent{&v, "share", 100}).Set(typed)
		if err == nil || instead(err) != want || v != -1 {
			t.Errorf("%q: %g, %v, instead %q; want %q", typed, v, err, instead(err), want)
		}
	}
}

func TestTypedTemperatures(t *testing.T) {
	for typed, want := range map[string]float64{
		"28F": -20 / 9.0, "28 °F": -20 / 9.0, "28 deg F": -20 / 9.0, "28 Fahrenheit": -20 / 9.0, "-2c": -2,
		"10 degrees C": 10,
	} {
		if c, err := ParseTemperature(typed); err != nil || math.Abs(c-want) > 1e-12 {
			t.Errorf("%q: %g, %v", typed, c, err)
		}
	}
	for typed, want := range map[string]string{"28": "28F 28C", "28K": "28F -2C", "": "28F -2C", "cold": "28F -2C"} {
		if c, err := ParseTemperature(typed); err == nil || instead(err) != want {
			t.Errorf("%q: %g, %v, instead %q", typed, c, err, instead(err))
		}
	}
}

func TestTypedDates(t *testing.T) {
	for typed, want := range map[string]string{
		"2026-10-14": "2026-10-14", "2026-1-5": "2026-01-05", "2026/10/14": "2026-10-14", "20261014": "2026-10-14",
		"14 Oct 2026": "2026-10-14", "Oct 14, 2026": "2026-10-14", "October 14th 2026": "2026-10-14",
		"14-OCT-26": "2026-10-14", "sept 3 2026": "2026-09-03", "2026 Oct 14": "2026-10-14",
		"10/14/2026": "2026-10-14", "14/10/2026": "2026-10-14", "14.10.2026": "2026-10-14", "5/5/2026": "2026-05-05",
		"Oct 14": "Oct 14", "14 October": "14 October", "10/14": "10/14", "Feb 29": "Feb 29", // these have no year yet
	} {
		var d Date
		if err := d.Set(typed); err != nil || d.String() != want || d.HasYear() != (want[0] == '2') {
			t.Errorf("%q: %s, %v", typed, d.String(), err)
		}
	}
	for typed, want := range map[string]string{
		"10/5/2026": "2026-10-05 2026-05-10", "10/5": "Oct 5 May 10", "2026-02-30": "", "Feb 30": "",
		"Oct": "", "14": "",
		"Octember 3": "", "14 14 2026": "", "2026-10-14T05:00": "", "-1 Oct": "", "": "", "14 Oct 202": "",
		"Oct May 5": "",
	} {
		var d Date
		if err := d.Set(typed); err == nil || instead(err) != want {
			t.Errorf("%q: %s, %v, instead %q", typed, d.String(), err, instead(err))
		}
	}
}

// demoStation is the demo station as of a day.
func demoStation(t *testing.T, asOf climate.Day) *Station {
	t.Helper()
	in, err := Read(bytes.NewReader(demo.Station), demo.Name, Reading{AsOf: &asOf, Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	s, err := in.Ready()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A date without a year is the nearest that makes sense, and the program says which.
func TestYearOfDates(t *testing.T) {
	day := climate.Date
	for _, c := range []struct {
		typed          string
		asOf, sow, ago climate.Day
	}{
		{"Oct 14", day(2025, 10, 20), day(2025, 10, 14), day(2025, 10, 14)},
		{"Oct 14", day(2025, 8, 20), day(2025, 10, 14), day(2024, 10, 14)},
		{"Oct 14", day(2025, 2, 10), day(2024, 10, 14), day(2024, 10, 14)}, // the winter of 2024
		{"Oct 14", day(2025, 6, 10), day(2025, 10, 14), day(2024, 10, 14)}, // between two seasons: the next
		{"Jan 3", day(2025, 10, 20), day(2026, 1, 3), day(2025, 1, 3)},
		{"May 20", day(2025, 10, 20), day(2025, 5, 20), day(2025, 5, 20)}, // of no season: the nearest
		{"Feb 29", day(2025, 10, 20), day(2024, 2, 29), day(2024, 2, 29)},
	} {
		in := demoStation(t, c.asOf)
		for want, understand := range map[climate.Day]func(*Date, *cli.Program){
			c.sow: func(d *Date, p *cli.Program) { d.InSeason(p, in) },
			c.ago: func(d *Date, p *cli.Program) { d.Past(p, in.AsOf) },
		} {
			if c.sow == c.ago {
				understand = func(d *Date, p *cli.Program) { d.InSeason(p, in) }
			}
			var said bytes.Buffer
			p := &cli.Program{Name: "swardcast", Stderr: &said}
			var d Date
			if err := d.Set(c.typed); err != nil {
				t.Fatal(err)
			}
			understand(&d, p)
			if d.Day != want || !strings.Contains(said.String(), want.String()) {
				t.Errorf("%s as of %s: %s, want %s: %s", c.typed, c.asOf, d.Day, want, said.String())
			}
		}
	}
}

func TestTypedWords(t *testing.T) {
	host := func(typed string) (string, error) {
		c := newHost()
		err := c.Set(typed)
		return c.Value, err
	}
	for typed, want := range map[string]string{
		"bermuda": "bermudagrass", "Bermuda grass": "bermudagrass", "zoysia": "zoysiagrass", "NONE": "none",
		"zoysiagrass": "zoysiagrass",
	} {
		if got, err := host(typed); err != nil || got != want {
			t.Errorf("--host %q: %s, %v", typed, got, err)
		}
	}
	for typed, want := range map[string]string{
		"fescue": "none", "bare soil": "none", "bermudugrass": "bermudagrass", "zoisiagrass": "zoysiagrass",
		"tuft": "", "": "",
	} {
		if got, err := host(typed); err == nil || instead(err) != want {
			t.Errorf("--host %q: %s, %v, instead %q", typed, got, err, instead(err))
		}
	}
	for typed, want := range map[string]string{
		"tall": "tall-fescue", "tall fescue": "tall-fescue", "Kentucky": "kentucky-bluegrass",
		"bentgrass": "creeping-bentgrass",
		"perennial": "perennial-ryegrass", "Perennial Ryegrass": "perennial-ryegrass",
		"intermediate": "intermediate-ryegrass",
	} {
		if got, err := FindSpecies(&cli.Program{}, typed); err != nil || len(got) != 1 || got[0].ID != want {
			t.Errorf("--species %q: %v, %v", typed, got, err)
		}
	}
	for typed, want := range map[string]string{
		"ryegrass":  "--species perennial-ryegrass, annual-ryegrass or intermediate-ryegrass",
		"bluegrass": "--species kentucky-bluegrass or rough-bluegrass", "tal-fescu": "--species tall-fescue",
		"bermuda": "--host bermudagrass --species perennial-ryegrass", "dandelions": "",
	} {
		_, err := FindSpecies(&cli.Program{}, typed)
		var u *cli.UsageError
		if !errors.As(err, &u) || u.Hint != want || !strings.HasPrefix(u.Message, "--species "+typed) {
			t.Errorf("--species %q: %v, hint %q", typed, err, u.Hint)
		}
	}
}

func TestTypedLatitudes(t *testing.T) {
	for typed, want := range map[string]string{
		"35.9": "35.9", "35.9N": "35.9", "33.4 S": "-33.4", "-33.4": "-33.4", "46.1,33.8": "46.1,33.8",
		"35.9°N": "35.9",
	} {
		var l latitudes
		if err := l.Set(typed); err != nil || l.String() != want {
			t.Errorf("%q: %s, %v", typed, l.String(), err)
		}
	}
	for _, typed := range []string{"", "91", "35 54", "-33S", "84W", "NaN", "1e3"} {
		var l latitudes
		if err := l.Set(typed); err == nil {
			t.Errorf("%q: %s", typed, l.String())
		}
	}
}

func TestTypedTendencies(t *testing.T) {
	for typed, want := range map[string]forecast.Tendency{
		"warm:21": {Days: 21}, "warmer:3w": {Days: 21}, "cool:14": {Days: 14,
			Colder: true}, "Cold: 2 weeks": {Days: 14, Colder: true},
		"colder:10d": {Days: 10, Colder: true},
	} {
		if got, err := parseTendency(typed); err != nil || got == nil || *got != want {
			t.Errorf("%q: %+v, %v", typed, got, err)
		}
	}
	for _, typed := range []string{"rows.csv", "C:\\rows.csv", "warmth.csv", "cool rows.csv"} {
		if got, err := parseTendency(typed); err != nil || got != nil {
			t.Errorf("the file %q: %+v, %v", typed, got, err)
		}
	}
	for typed, want := range map[string]string{
		"warm": "--ahead warm:21", "cool:": "--ahead cool:21", "warm:0": "--ahead warm:21",
		"cold:100": "--ahead cold:21", "warm:x": "--ahead warm:21",
	} {
		_, err := parseTendency(typed)
		var u *cli.UsageError
		if !errors.As(err, &u) || u.Hint != want {
			t.Errorf("%q: %v", typed, err)
		}
	}
}

// The message about a missing latitude says how near is near enough: a degree moves
// the demo station's openings and latest dates by about half a day, mean of the
// seasons.
func TestLatitudeNearEnough(t *testing.T) {
	dates := func(degrees float64) *forecast.Window {
		in, err := Read(bytes.NewReader(demo.Station), demo.Name, Reading{Invented: true,
			Place: func(p *climate.Place) { p.Latitude = new(*p.Latitude + degrees) }})
		if err != nil {
			t.Fatal(err)
		}
		s, err := in.Ready()
		if err != nil {
			t.Fatal(err)
		}
		w, err := s.Dates(forecast.Options{Completeness: climate.WMO()})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	usual := dates(0)
	moved := 0.0 // days per degree, mean of either side
	for _, degrees := range []float64{-1, 1} {
		w := dates(degrees)
		latest, opens, n := 0.0, 0.0, 0.0
		for i, s := range w.Seasons {
			if was := usual.Seasons[i]; s.Latest != nil && was.Latest != nil {
				latest += float64(*s.Latest - *was.Latest)
				opens += float64(s.Opens - was.Opens)
				n++
			}
		}
		t.Logf("%+g°: latest dates %+.2f days, openings %+.2f days, mean of %g seasons", degrees, latest/n, opens/n,
			n)
		moved += math.Abs(latest/n) / 2
		if math.Abs(opens/n) > 1 {
			t.Errorf("%+g°: openings move by %.2f days", degrees, opens/n)
		}
	}
	if moved < 0.25 || moved > 0.75 {
		t.Errorf("a degree moves the latest dates by %.2f days; the message says about half a day", moved)
	}
}

// openFiles opens the record that arguments name among files in memory.
func openFiles(t *testing.T, files map[string]string, args ...string) (*Input, string, error) {
	t.Helper()
	var said bytes.Buffer
	p := &cli.Program{Name: "swardcast", Stdin: strings.NewReader(files["-"]), Stdout: io.Discard, Stderr: &said,
		Files: memory(files), Now: func() time.Time { return time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC) }}
	var st StationFlags
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	st.Declare(f)
	if err := f.Parse(args); err != nil {
		t.Fatal(err)
	}
	in, err := OpenRecord(p, f.Args(), &st)
	return in, said.String(), err
}

type memory map[string]string

func (m memory) Read(name string, read func(io.Reader) error) error {
	text, ok := m[name]
	if !ok {
		return errors.New(name + ": no such file")
	}
	return read(strings.NewReader(text))
}
func (memory) Write(string, []byte) error                      { return errors.New("nothing is written") }
func (memory) Clash(string, []string, io.Reader) (name string) { return "" }

// The long record and recent days are joined: observed days stay, the unit of the
// recent days is found, and a file of another station is refused.
func TestJoin(t *testing.T) {
	lines := strings.SplitAfter(string(demo.Station), "\n")
	header := 0
	for !strings.HasPrefix(lines[header], "date,") {
		header++
	}
	head, rows := strings.Join(lines[:header+1], ""), lines[header+1:]
	var recent strings.Builder // the next days in °F without a unit, and seven before them
	recent.WriteString("date,high,low\n")
	whole, _, err := openFiles(t, map[string]string{"whole.csv": string(demo.Station)}, "whole.csv")
	if err != nil {
		t.Fatal(err)
	}
	rec := whole.File.Record
	cut := 7000 // a winter fortnight whose °F could be °C
	for slices.Max(rec.TMaxC[cut-7:cut+7]) > 13 {
		cut++
	}
	long := head + strings.Join(rows[:cut], "")
	for i := cut - 7; i < cut+7; i++ {
		recent.WriteString(rec.Day(i).String())
		for _, c := range []float64{rec.TMaxC[i], rec.TMinC[i]} {
			recent.WriteString("," + words.US.Temp(c)[:strings.Index(words.US.Temp(c), " ")])
		}
		recent.WriteString("\n")
	}
	elsewhere := strings.Replace(head, "35.4", "46.4", 1) + strings.Join(rows[cut:cut+9], "")
	other := "date,tmax_c,tmin_c\n"
	for i := 5000; i < 5030; i++ {
		other += rec.Day(i).String() + ",9,1\n"
	}
	files := map[string]string{"long.csv": long, "recent.csv": recent.String(), "elsewhere.csv": elsewhere,
		"other.csv": other}
	for _, args := range [][]string{{"long.csv", "recent.csv"}, {"recent.csv", "long.csv"}} {
		in, said, err := openFiles(t, files, args...)
		if err != nil {
			t.Fatal(err)
		}
		got := in.File.Record
		if got.First != rec.First || got.Last() != rec.Day(cut+6) || !strings.Contains(said,
			"long.csv and recent.csv are joined") ||
			!strings.Contains(said,
				"recent.csv: the temperatures are taken to be in °F") || in.DisplayName() != whole.DisplayName() {
			t.Errorf("%v: %s to %s, %q: %s", args, got.First, got.Last(), in.DisplayName(), said)
		}
		for i := range got.TMaxC {
			slack := 0.0 // the long record's own values
			if i >= cut {
				slack = 0.3 // whole °F
			}
			if math.Abs(got.TMaxC[i]-rec.TMaxC[i]) > slack || math.Abs(got.TMinC[i]-rec.TMinC[i]) > slack {
				t.Fatalf("%s: %g and %g, want %g and %g", got.Day(i), got.TMaxC[i], got.TMinC[i], rec.TMaxC[i],
					rec.TMinC[i])
			}
		}
	}
	for _, c := range []struct{ file, want string }{
		{"elsewhere.csv",
			"these files are of different stations: long.csv (Wrenfield Green (invented), latitude 35.4"},
		{"other.csv", "°C apart on their 30 common days"},
		{"gone.csv", "gone.csv: no such file"},
		{"long.csv", "long.csv is named twice"},
	} {
		if _, _, err := openFiles(t, files, "long.csv", c.file); err == nil || !strings.Contains(err.Error(),
			c.want) {
			t.Errorf("%s: %v", c.file, err)
		}
	}
}

// A record that is piped in is read without a -, and a flag of the station without a
// record is refused; the demo station answers neither.
func TestNoFile(t *testing.T) {
	piped := map[string]string{"-": "date,tmax_c,tmin_c\n2019-01-01,10,2\n"}
	in, said, err := openFiles(t, piped, "--lat", "40")
	if err != nil || in.Name != standardInput || in.File.Record.Len() != 1 || !strings.Contains(said, "piped in") {
		t.Errorf("%+v, %v: %s", in, err, said)
	}
	if in, said, err = openFiles(t, nil); err != nil || in.Name != demo.Name || !strings.Contains(said,
		"demo station") {
		t.Errorf("%+v, %v: %s", in, err, said)
	}
	for _, flag := range []string{"--lat=40", "--lon=8", "--elevation=3", "--name=x", "--station=x", "--temp-unit=F",
		"--columns=tmax=2"} {
		if _, _, err := openFiles(t, nil, flag); err == nil || !strings.Contains(err.Error(), "no FILE is named") {
			t.Errorf("%s: %v", flag, err)
		}
	}
	// A day without a year is the last such day of the record.
	in, said, err = openFiles(t, nil, "--as-of", "Oct 12")
	if err != nil || in.AsOf != climate.Date(2025, 10, 12) || !strings.Contains(said,
		`"Oct 12" is taken as 2025-10-12`) {
		t.Errorf("%+v, %v: %s", in, err, said)
	}
}

// Soil readings that are in another unit, far off or of no known time are not taken in
// without a word.
func TestReadingsThatMislead(t *testing.T) {
	asOf := climate.Date(2025, 10, 20)
	in := demoStation(t, asOf)
	rows := func(header string, off func(c float64) string, depth, clock string) string {
		text := header + "\n"
		for d := asOf - 9; d <= asOf; d++ {
			text += d.String() + "," + depth + "," + off(in.Soil.Soil10C[in.Record.Index(d)]) + "," + clock + "\n"
		}
		return text
	}
	plus := func(x float64) func(float64) string {
		return func(c float64) string { return words.Figures(c + x) }
	}
	const inches, centimetres = "date,depth_in,soil_c,time", "date,depth_cm,soil_c,time"
	for _, c := range []struct{ name, text, said, err, hint string }{
		{"good", rows(inches, plus(0), "4", "20:00"), "", "", ""},
		{"no time", rows(inches, plus(0), "4", ""), "10 of 10 readings have no time", "", ""},
		{"4 cm", rows(centimetres, plus(0), "4", "20:00"),
			"10 readings are at 4 cm: if that is 4 in., name the column depth_in", "", ""},
		{"2 cm", rows(centimetres, plus(0), "2", ""), "", "is it in inches?", "depth_in in place of depth_cm"},
		{"10 in.", rows(inches, plus(0), "10", ""), "", "is it in centimetres?", "depth_cm in place of depth_in"},
		{"8 °C off", rows(inches, plus(8), "4", ""), "", "off", "leave --probe out"},
		{"5.5 °C off", rows(inches, plus(-5.5), "4", ""), "check the thermometer", "", ""},
		{"in °F", rows(inches, func(c float64) string { return words.Figures(words.Fahrenheit(c)) }, "4", ""), "", "",
			"soil_f in place of soil_c"},
		{"in °C", rows("date,depth_in,soil_f,time", plus(0), "4", ""), "", "", "soil_c in place of soil_f"},
	} {
		var said bytes.Buffer
		p := &cli.Program{Name: "swardcast", Stderr: &said, Files: memory{"mine.csv": c.text}}
		station := *in
		err := calibrate(p, &station, "mine.csv")
		var data *cli.DataError
		switch refused := c.err != "" || c.hint != ""; {
		case refused && (!errors.As(err, &data) || !strings.Contains(err.Error(),
			c.err) || !strings.HasPrefix(data.Hint, c.hint)):
			t.Errorf("%s: %v, %+v: %s", c.name, err, data, said.String())
		case !refused && (err != nil || station.ProbeFile == ""):
			t.Errorf("%s: %v", c.name, err)
		case !strings.Contains(said.String(), c.said) || c.name == "good" && said.Len() > 0:
			t.Errorf("%s: says %q, want %q", c.name, said.String(), c.said)
		}
	}
}
