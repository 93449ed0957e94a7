package ask

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// A part is one of several files of a station.
type part struct {
	name string
	file *recordfile.File
}

// readSeveral reads the files of one station and joins them, the longest first. A file
// of few days seldom shows its unit: then it is the one in which it lies near what is
// normal in the longest.
func readSeveral(p *cli.Program, from []source, how *Reading) (*Input, error) {
	var parts []part
	type open struct {
		source
		err *recordfile.Error
	}
	var opens []open // files whose unit is open
	read := func(s source, how *Reading) (file *recordfile.File, err error) {
		err = s.open(func(r io.Reader) (err error) {
			file, err = readFile(r, s.name, how)
			return err
		})
		return file, err
	}
	halves := map[string]error{} // what a file lacks, by the field
	for i := range from {
		if err := from[i].keep(); err != nil {
			return nil, err
		}
		file, err := read(from[i], how)
		if lack := lacking(err); lack != "" {
			half := *how
			half.Options.OneExtreme = true
			f, errHalf := read(from[i], &half)
			if errHalf == nil {
				halves[lack] = err
				parts = append(parts, part{from[i].name, f})
				continue
			}
			if lacking(errHalf) == "" {
				err = errHalf
			}
		}
		var unknown *recordfile.Error
		switch {
		case errors.As(err, &unknown) && unknown.Units != nil:
			opens = append(opens, open{from[i], unknown})
		case errors.As(err, &unknown) && unknown.Kind == recordfile.Empty && how.AsOf != nil:
			p.Say("%v; the file is left out", err)
		case err != nil:
			return nil, err
		default:
			parts = append(parts, part{from[i].name, file})
		}
	}
	if whole := slices.ContainsFunc(parts, func(x part) bool { return !x.file.Half }); len(halves) == 1 && !whole {
		for _, err := range halves {
			return nil, err
		}
	}
	slices.SortStableFunc(parts, func(a, b part) int { return b.file.Record.Len() - a.file.Record.Len() })
	switch {
	case len(parts) == 0 && len(opens) > 0:
		return nil, opens[0].err
	case len(parts) == 0:
		return nil, cli.Dataf("a later --as-of", "no file has a day up to %s", *how.AsOf)
	}
	for _, s := range opens {
		longest := parts[0].file.Record
		normal, err := climate.FitNormal(longest.First, longest.TMaxC, climate.AirHarmonics)
		if err != nil {
			return nil, s.err
		}
		file := inNearestUnit(s.err.Units, normal, func(u recordfile.Unit) (*recordfile.File, error) {
			in := *how
			in.Options.Unit = u
			return read(s.source, &in)
		})
		if file == nil {
			return nil, &cli.DataError{Err: s.err, Hint: unitHint}
		}
		p.Say("%s: the temperatures are taken to be in %s, in which they lie nearest to those of %s", s.name,
			file.Unit.Name(), parts[0].name)
		parts = append(parts, part{s.name, file})
	}
	if err := oneStation(parts); err != nil {
		return nil, err
	}
	if len(parts) == 1 {
		return newInput(parts[0].file, parts[0].name, how)
	}
	return joined(p, parts, how)
}

const (
	plausibleOff = 15.0 // °C that the mean of some days can lie off the normal
	clearlyOff   = 8.0  // °C by which the next unit must lie farther off
)

// offNormal is by how much the highest temperatures of a record lie off the normal of
// their days on average, °C.
func offNormal(r *climate.Record, normal climate.Normal) float64 {
	sum, n := 0.0, 0.0
	for i, v := range r.TMaxC {
		if !math.IsNaN(v) {
			sum += v - normal.At(r.Day(i))
			n++
		}
	}
	return math.Abs(sum / n)
}

// inNearestUnit reads a file in the one of some units in which it lies near the normal
// of its days; nil where that is none, or more than one.
func inNearestUnit(
	of []recordfile.Unit, normal climate.Normal, read func(recordfile.Unit) (*recordfile.File, error),
) *recordfile.File {
	var file *recordfile.File
	best, next := math.Inf(1), math.Inf(1)
	for _, unit := range of {
		f, err := read(unit)
		if err != nil {
			continue
		}
		switch d := offNormal(f.Record, normal); {
		case d < best:
			best, next, file = d, best, f
		case d < next:
			next = d
		}
	}
	if best > plausibleOff || next-best < clearlyOff {
		return nil
	}
	return file
}

const (
	sameDegrees = 0.05 // of latitude or longitude that a station's files can differ by, some 5 km
	sameC       = 2.0  // °C that they can differ by on half of their common days
	commonDays  = 3    // days that make a comparison
)

// oneStation returns the error of files that are not of one station, the longest
// first.
func oneStation(parts []part) error {
	first := parts[0]
	list := make([]string, len(parts))
	for i, x := range parts {
		place := x.file.Record.Place.String()
		if place == "" {
			place = "no name"
		}
		list[i] = fmt.Sprintf("%s (%s, %s to %s)", x.name, place, x.file.Record.First, x.file.Record.Last())
	}
	different := func(why string) error {
		var names []string
		for _, x := range parts {
			names = append(names, x.name)
		}
		return cli.Dataf("name the files of one station, or compare stations: swardcast compare "+strings.Join(names,
			" "),
			"these files are of different stations%s: %s", why, cli.And(list))
	}
	for _, x := range parts[1:] {
		a, b := first.file.Record, x.file.Record
		latA, lonA, _ := a.Place.Coordinates()
		latB, lonB, _ := b.Place.Coordinates()
		apart := math.Max(math.Abs(latA-latB), math.Abs(lonA-lonB)) // NaN where one is not known
		switch off, n := offOnCommonDays(a, b); {
		case apart > sameDegrees:
			return different("")
		case math.IsNaN(apart) && a.Place.Name != "" && b.Place.Name != "" && !strings.EqualFold(a.Place.Name,
			b.Place.Name):
			return different("")
		case n >= commonDays && off > sameC:
			return different(fmt.Sprintf(", %.1f °C apart on their %d common days", off, n))
		}
	}
	return nil
}

// offOnCommonDays is by how much two records differ on the days that both have, median
// of the greater difference of the day, °C, and the number of these days.
func offOnCommonDays(a, b *climate.Record) (medianC float64, days int) {
	var off []float64
	for d := max(a.First, b.First); d <= min(a.Last(), b.Last()); d++ {
		i, k := a.Index(d), b.Index(d)
		if !a.Missing(i) && !b.Missing(k) {
			off = append(off, math.Max(math.Abs(a.TMaxC[i]-b.TMaxC[k]), math.Abs(a.TMinC[i]-b.TMinC[k])))
		}
	}
	slices.Sort(off)
	return climate.Quantile(0.5, off), len(off)
}

// maxJoinedYears is how far apart the first and the last day of a station's files can
// be.
const maxJoinedYears = 400

// lacking is the temperature for which a file has no column, "" where it is read or
// refused for another reason.
func lacking(err error) string {
	var e *recordfile.Error
	if errors.As(err, &e) && e.Kind == recordfile.MissingColumn && (e.Field == "tmax" || e.Field == "tmin") {
		return e.Field
	}
	return ""
}

// known is the first value that is not missing.
func known(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return a
}

// joined puts the files of one station together, the longest first: on a day that
// several have, the longest counts. Files of one temperature are put beside each other.
func joined(p *cli.Program, parts []part, how *Reading) (*Input, error) {
	longest := parts[0].file.Record
	first, last := longest.First, longest.Last()
	names, rain, half := []string{}, false, false
	for _, x := range parts {
		first, last = min(first, x.file.Record.First), max(last, x.file.Record.Last())
		names = append(names, x.name)
		rain = rain || x.file.Record.PrecipMM != nil
	}
	name := strings.Join(names, " and ")
	if last.Year()-first.Year() > maxJoinedYears {
		return nil, cli.Dataf("look for a mistyped year", "%s: the dates run from %s to %s", name, first, last)
	}
	all := climate.NewRecord(longest.Place, first, int(last-first)+1)
	if rain {
		all.PrecipMM = slices.Repeat([]float64{math.NaN()}, all.Len())
	}
	file := *parts[0].file
	file.Record = all
	for n, x := range parts {
		r := x.file.Record
		half = half || x.file.Half
		for i := range r.TMaxC {
			k := all.Index(r.Day(i))
			if all.Missing(k) && !r.Missing(i) || math.IsNaN(all.TMaxC[k]) && math.IsNaN(all.TMinC[k]) {
				all.TMaxC[k], all.TMinC[k] = r.TMaxC[i], r.TMinC[i]
			}
			if x.file.Half || half {
				all.TMaxC[k], all.TMinC[k] = known(all.TMaxC[k], r.TMaxC[i]), known(all.TMinC[k], r.TMinC[i])
			}
			if r.PrecipMM != nil && math.IsNaN(all.PrecipMM[k]) {
				all.PrecipMM[k] = r.PrecipMM[i]
			}
		}
		if n == 0 {
			continue
		}
		file.Rows += x.file.Rows
		file.Flagged += x.file.Flagged
		file.Short += x.file.Short
		file.Repeated += x.file.Repeated
		file.Suspect = append(slices.Clone(file.Suspect), x.file.Suspect...)
		for _, c := range []struct{ to, from **float64 }{
			{&all.Place.Latitude, &r.Place.Latitude}, {&all.Place.Longitude, &r.Place.Longitude},
			{&all.Place.ElevationM, &r.Place.ElevationM},
		} {
			if *c.to == nil {
				*c.to = *c.from
			}
		}
		if all.Place.Name == "" {
			all.Place.Name = r.Place.Name
		}
	}
	said := fmt.Sprintf("%s are joined: %s to %s", cli.And(names), first, last)
	if gap, end := longestGap(all); gap > 0 {
		said += fmt.Sprintf("; the longest gap is of %d %s, up to %s", gap, words.Plural(gap, "day", "days"), end)
	}
	p.Say("%s", said)
	in, err := newInput(&file, name, how)
	if err != nil {
		return nil, err
	}
	in.called = strings.TrimSuffix(filepath.Base(parts[0].name), filepath.Ext(parts[0].name))
	return in, nil
}

// longestGap is the longest run of days without both temperatures, and its last day.
func longestGap(r *climate.Record) (days int, end climate.Day) {
	g, _ := climate.Strict().Gap(r.First, r.Last(), func(d climate.Day) bool { return r.Missing(r.Index(d)) })
	return g.Run, g.RunEnd
}
