package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"swardcast/climate"
	"swardcast/forecast"
)

const regionSchema = "swardcast.region/1"

// regionRow is a station and species. Its fields are the columns of CSV, the keys
// of JSON lines and the properties of GeoJSON.
type regionRow struct {
	File         string       `csv:"file" json:"file"`
	Station      string       `csv:"station" json:"station"`
	Latitude     number       `csv:"latitude" json:"latitude"`
	Longitude    number       `csv:"longitude" json:"longitude"`
	ElevationM   number       `csv:"elevation_m" json:"elevation_m"`
	FirstDate    climate.Day  `csv:"first_date" json:"first_date"`
	LastDate     climate.Day  `csv:"last_date" json:"last_date"`
	TempUnit     string       `csv:"temp_unit" json:"temp_unit"`
	Suspect      int          `csv:"values_doubted" json:"values_doubted"`
	SeasonsUsed  int          `csv:"seasons_used" json:"seasons_used"`
	Season       int          `csv:"season" json:"season"`
	Species      string       `csv:"species" json:"species"`
	OpensP20     *climate.Day `csv:"opens_p20" json:"opens_p20"`
	OpensP50     *climate.Day `csv:"opens_p50" json:"opens_p50"`
	OpensP80     *climate.Day `csv:"opens_p80" json:"opens_p80"`
	LastSafeP50  *climate.Day `csv:"last_safe_p50" json:"last_safe_p50"`
	LastSafeP80  *climate.Day `csv:"last_safe_p80" json:"last_safe_p80"`
	LastSafeP90  *climate.Day `csv:"last_safe_p90" json:"last_safe_p90"`
	AtConfidence *climate.Day `csv:"last_safe_at_confidence" json:"last_safe_at_confidence"`
	BestSowing   *climate.Day `csv:"best_sowing" json:"best_sowing"`
	BestChance   number       `csv:"best_chance" json:"best_chance"`
	CutoffP10    *climate.Day `csv:"cutoff_p10" json:"cutoff_p10"`
	CutoffP50    *climate.Day `csv:"cutoff_p50" json:"cutoff_p50"`
	CutoffP90    *climate.Day `csv:"cutoff_p90" json:"cutoff_p90"`
	FreezeP50    *climate.Day `csv:"freeze_p50" json:"freeze_p50"`
	DormancyP50  *climate.Day `csv:"dormancy_p50" json:"dormancy_p50"`
	TrendAirC    number       `csv:"trend_air_c_per_decade" json:"trend_air_c_per_decade"`
	TrendLatest  number       `csv:"trend_latest_days_per_decade" json:"trend_latest_days_per_decade"`
	TrendShift   number       `csv:"trend_shift_days" json:"trend_shift_days"`
	Settings     string       `csv:"settings" json:"settings"`
}

// rowOf sums up a window as `window --format json` has it.
func rowOf(in *stationInput, w *forecast.Window, settings string) regionRow {
	s := speciesJSON(w)
	latitude, longitude, elevation := in.checked.Place.Coordinates()
	r := regionRow{
		File: harmless(in.name), Station: in.displayName(), Latitude: number(latitude), Longitude: number(longitude), ElevationM: number(elevation),
		FirstDate: in.checked.First, LastDate: in.checked.Last(), TempUnit: string(in.file.Unit), SeasonsUsed: len(w.Seasons), Season: w.Season,
		Species: s.ID, OpensP20: s.Opens.P20, OpensP50: s.Opens.P50, OpensP80: s.Opens.P80,
		LastSafeP50: s.LastSafe.P50, LastSafeP80: s.LastSafe.P80, LastSafeP90: s.LastSafe.P90, AtConfidence: s.LastSafe.AtConfidence,
		BestChance: unknownNumber, CutoffP10: s.Cutoff.P10, CutoffP50: s.Cutoff.P50, CutoffP90: s.Cutoff.P90,
		FreezeP50: s.Cutoff.FreezeP50, DormancyP50: s.Cutoff.DormancyP50, Settings: settings,
		TrendAirC: s.Trend.Air.Slope, TrendLatest: s.Trend.Latest.Days, TrendShift: s.Trend.Shift,
	}
	if s.BestSowing != nil {
		r.BestSowing, r.BestChance = &s.BestSowing.Date, s.BestSowing.Chance
	}
	for _, d := range in.suspect {
		r.Suspect += d.Values
	}
	return r
}

// A regionForm writes the answer for a region piece by piece. The pieces put
// together are one whole, also those of shards put together.
type regionForm interface {
	head() []byte                          // before the first station of a list
	rows(r []regionRow, first bool) []byte // of one station, in whole lines
	foot() []byte                          // behind the last station of a list
	key(line string) (rowKey, bool)        // what a line is the row of; false for one of the head or the foot
}

// A rowKey tells rows apart.
type rowKey struct{ File, Species, Settings string }

type csvForm struct{}

func (csvForm) head() []byte {
	text, _ := csvBytes([]regionRow{}, true)
	return text
}

func (csvForm) rows(rows []regionRow, _ bool) []byte {
	rows = slices.Clone(rows)
	for i := range rows {
		rows[i].File, rows[i].Station = cellText(rows[i].File), cellText(rows[i].Station)
	}
	text, _ := csvBytes(rows, false)
	return text
}

// csvBytes cannot fail on rows of this type; TestRegionForms holds it to that.
func csvBytes(rows []regionRow, header bool) ([]byte, error) {
	var b bytes.Buffer
	if header {
		err := gocsv.Marshal(rows, &b)
		return b.Bytes(), err
	}
	err := gocsv.MarshalWithoutHeaders(rows, &b)
	return b.Bytes(), err
}

func (csvForm) foot() []byte { return nil }

// csvColumns are the columns of the answer in CSV.
var csvColumns = func() []string {
	return strings.Split(strings.TrimSpace(string(csvForm{}.head())), ",")
}()

func (csvForm) key(line string) (rowKey, bool) {
	cells, err := csv.NewReader(strings.NewReader(line)).Read()
	if err != nil || len(cells) != len(csvColumns) || slices.Equal(cells, csvColumns) {
		return rowKey{}, false
	}
	at := func(column string) string { return cells[slices.Index(csvColumns, column)] }
	return rowKey{at("file"), at("species"), at("settings")}, true
}

// linesForm is JSON lines: an object a row.
type linesForm struct{}

type regionLine struct {
	Schema string `json:"schema"`
	regionRow
}

func (linesForm) head() []byte { return nil }
func (linesForm) foot() []byte { return nil }

func (linesForm) rows(rows []regionRow, _ bool) []byte {
	var b bytes.Buffer
	for _, r := range rows {
		b.Write(jsonLine(regionLine{regionSchema, r}))
	}
	return b.Bytes()
}

func jsonLine(v any) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic("swardcast: " + err.Error()) // the types of a row can all be encoded
	}
	return b.Bytes()
}

func (linesForm) key(line string) (rowKey, bool) {
	var l struct {
		Schema string
		rowKey
	}
	err := json.Unmarshal([]byte(line), &l)
	return l.rowKey, err == nil && l.Schema == regionSchema
}

// geoForm is GeoJSON (RFC 7946): one FeatureCollection, a point a row, a line a
// feature. A comma stands before each feature but the first, so that the part of
// a file that ends with a feature is whole but for its foot.
type geoForm struct{}

type regionFeature struct {
	Type       string      `json:"type"`
	ID         string      `json:"id"`
	Geometry   *pointOut   `json:"geometry"` // null where the longitude is not known (section 3.2)
	Properties *regionLine `json:"properties"`
}

type pointOut struct {
	Type        string   `json:"type"`
	Coordinates []number `json:"coordinates"` // longitude, latitude, and metres above sea level where known
}

const (
	geoHead = `{"type":"FeatureCollection","features":[` + "\n"
	geoFoot = "]}\n"
)

func (geoForm) head() []byte { return []byte(geoHead) }
func (geoForm) foot() []byte { return []byte(geoFoot) }

func (geoForm) rows(rows []regionRow, first bool) []byte {
	var b bytes.Buffer
	for _, r := range rows {
		f := regionFeature{Type: "Feature", ID: r.File + "#" + r.Species, Properties: &regionLine{regionSchema, r}}
		if r.Longitude == r.Longitude {
			f.Geometry = &pointOut{"Point", []number{r.Longitude, r.Latitude}}
			if r.ElevationM == r.ElevationM {
				f.Geometry.Coordinates = append(f.Geometry.Coordinates, r.ElevationM)
			}
		}
		if !first {
			b.WriteString(",")
		}
		first = false
		b.Write(jsonLine(f))
	}
	return b.Bytes()
}

func (geoForm) key(line string) (rowKey, bool) {
	var f struct{ Properties rowKey }
	if err := json.Unmarshal([]byte(strings.TrimPrefix(line, ",")), &f); err != nil || f.Properties.File == "" {
		return rowKey{}, false
	}
	return f.Properties, true
}

// textForm is a table for reading.
type textForm struct {
	confidence float64
	names      map[string]string // of the species, by ID
}

const (
	textStation = 23
	textSpecies = 21
	textDate    = 7
)

// middle is the confidence of the middle column, between 90 and 50 %.
func (f *textForm) middle() float64 {
	if f.confidence == 90 || f.confidence == 50 {
		return 80
	}
	return f.confidence
}

func (f *textForm) head() []byte {
	cell := func(s string) string { return padLeft(s, textDate) }
	top := pad("", textStation+1+textSpecies) + cell("") + padLeft("last safe at", 3*textDate) + "\n"
	return []byte(top + pad("station", textStation+1) + pad("species", textSpecies) + cell("opens") +
		cell("90 %") + cell(fmt.Sprintf("%g %%", f.middle())) + cell("50 %") + cell("cutoff") + "\n")
}

func (f *textForm) rows(rows []regionRow, _ bool) []byte {
	var b strings.Builder
	date := func(d *climate.Day) string {
		if d == nil {
			return padLeft("–", textDate)
		}
		return padLeft(shortDate(*d), textDate)
	}
	for _, r := range rows {
		middle := r.AtConfidence
		if f.middle() != f.confidence {
			middle = r.LastSafeP80
		}
		b.WriteString(pad(short(r.Station, textStation), textStation+1) + pad(short(f.names[r.Species], textSpecies), textSpecies) +
			date(r.OpensP50) + date(r.LastSafeP90) + date(middle) + date(r.LastSafeP50) + date(r.CutoffP50) + "\n")
	}
	return []byte(b.String())
}

// short cuts a text to a width.
func short(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

func (f *textForm) foot() []byte {
	var b strings.Builder
	b.WriteString("\n" + wrap("", fmt.Sprintf("Opening and cutoff are those of the middle season; – for none, or fewer than %d seasons. swardcast window tells more of a station, --format csv of all.", forecast.MinSeasons)))
	b.WriteString("Cautions\n")
	for _, x := range cautions() {
		b.WriteString(wrap("  - ", x))
	}
	return []byte(b.String())
}

func (*textForm) key(string) (rowKey, bool) { return rowKey{}, false }

// A regionOutput is where the answer for a region grows. A file grows under
// another name, NAME.part, and gets its own when the answer is whole.
type regionOutput struct {
	form        regionForm
	to          io.Writer
	file        *os.File // the part, nil for standard output and what is no regular file
	name        string   // of the whole
	first, last bool     // the head is wanted, the foot is
	headed      bool     // the head is written
	some        bool     // a station is written
}

const partEnding = ".part"

// open opens the output; with resume it goes on behind what is there already,
// whose files it adds to done.
func (o *regionOutput) open(resume bool, species []string, settings string, done map[string]bool) error {
	name := o.name
	if name == "" {
		return nil
	}
	var err error
	if o.name, err = target(name); err != nil {
		return outputError(name, err)
	}
	mode := os.FileMode(0o644)
	if info, err := os.Stat(o.name); err == nil {
		if !info.Mode().IsRegular() {
			f, err := os.OpenFile(o.name, os.O_WRONLY, 0)
			if err != nil {
				return outputError(name, err)
			}
			o.to = f
			return nil
		}
		if mode = info.Mode().Perm(); mode&0o222 == 0 {
			return outputError(name, os.ErrPermission) // nobody may write it
		}
	}
	part := o.name + partEnding
	f, err := os.OpenFile(part, os.O_RDWR|os.O_CREATE, mode)
	if err != nil {
		return outputError(name, err)
	}
	busy := lock(f) != nil
	if !busy { // a run that has just ended may have given it its name
		mine, errMine := f.Stat()
		now, errNow := os.Stat(part)
		busy = errMine != nil || errNow != nil || !os.SameFile(mine, now)
	}
	if busy {
		return errors.Join(&dataError{fmt.Errorf("another run is writing to %s", part), "wait for it, or give another --output"}, f.Close())
	}
	o.file, o.to = f, f
	if !resume {
		if err := f.Truncate(0); err != nil {
			return errors.Join(outputError(name, err), f.Close())
		}
		return nil
	}
	// A run that was stopped left the part; one that came to its end the
	// whole, to which stations can be added.
	info, err := f.Stat()
	fresh := err == nil && info.Size() == 0
	if fresh {
		if whole, err := os.Open(o.name); err == nil {
			_, err = io.Copy(f, whole)
			whole.Close()
			if err != nil {
				return errors.Join(outputError(name, err), o.drop())
			}
		}
	}
	end, err := o.readDone(species, settings, done)
	if err != nil && fresh {
		return errors.Join(err, o.drop())
	} else if err != nil {
		return errors.Join(err, f.Close())
	}
	if err := errors.Join(f.Truncate(end), seekTo(f, end)); err != nil {
		return errors.Join(outputError(name, err), f.Close())
	}
	return nil
}

func seekTo(f *os.File, offset int64) error {
	_, err := f.Seek(offset, io.SeekStart)
	return err
}

// readDone goes through what is written and returns where the last station with
// all its rows ends. What stands behind it is torn off, or a foot.
func (o *regionOutput) readDone(species []string, settings string, done map[string]bool) (end int64, err error) {
	other := func(n int, what string) error {
		return &dataError{fmt.Errorf("%s:%d: %s", o.name, n, what), "--resume goes on with the same command line; leave it out to begin anew"}
	}
	if err := seekTo(o.file, 0); err != nil {
		return 0, err
	}
	lines, at := bufio.NewReader(o.file), int64(0)
	rows, file := 0, "" // of the station that the line before is of
	head := string(o.form.head())
	for n := 1; ; n++ {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			return end, nil // what has no end was torn off
		}
		if err != nil {
			return 0, err
		}
		at += int64(len(line))
		k, ok := o.form.key(strings.TrimSuffix(line, "\n"))
		switch {
		case n == 1 && o.first && head != "":
			if line != head {
				return 0, other(n, "this is not the head of such an answer")
			}
			o.headed, end = true, at
			continue
		case !ok && line == string(o.form.foot()) && rows == 0:
			continue
		case !ok || k.Species != species[rows] || rows > 0 && k.File != file:
			return 0, other(n, "this is no row of such an answer")
		case k.Settings != settings:
			return 0, other(n, "the row is of other settings: "+k.Settings)
		}
		file = k.File
		if rows++; rows == len(species) {
			done[k.File], end, rows, o.headed, o.some = true, at, 0, true, true
		}
	}
}

// add writes the rows of a station.
func (o *regionOutput) add(rows []regionRow) error {
	text := o.form.rows(rows, !o.some)
	if !o.headed && o.first {
		text = slices.Concat(o.form.head(), text)
	}
	o.headed, o.some = true, true
	_, err := o.to.Write(text)
	return err
}

// finish writes what stands behind the last station and gives the file its
// name; one that is not whole keeps that of a part.
func (o *regionOutput) finish(whole bool) error {
	if !whole && !o.headed {
		return o.drop()
	}
	var err error
	if !o.headed && o.first {
		_, err = o.to.Write(o.form.head())
	}
	if o.last {
		_, e := o.to.Write(o.form.foot())
		err = errors.Join(err, e)
	}
	if o.file != nil && err == nil {
		err = o.file.Sync()
	}
	if o.file != nil && whole && err == nil {
		err = os.Rename(o.file.Name(), o.name) // before another run can lock it
	}
	if f, ok := o.to.(*os.File); ok && o.name != "" {
		err = errors.Join(err, f.Close())
	}
	return err
}

// drop leaves nothing behind.
func (o *regionOutput) drop() error {
	if o.file == nil {
		return nil
	}
	return errors.Join(o.file.Close(), os.Remove(o.file.Name()))
}

// abandon closes a file that cannot be written; what it holds can be gone on
// with.
func (o *regionOutput) abandon() error {
	if o.file == nil {
		return nil
	}
	return o.file.Close()
}
