package recordfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
)

// assemble puts the observations in the order of days, decides on dates and
// unit, and builds the record.
func (p *parser) assemble() (*File, error) {
	if err := p.stationError(); err != nil {
		return nil, err
	}
	if err := p.tooManySkipped(); err != nil {
		return nil, err
	}
	if p.rowCount == 0 {
		return nil, &Error{Kind: Empty, File: p.file, Line: p.layout.skip + 1,
			Message: "there is no row below the header"}
	}
	if len(p.obs) == 0 && p.later > 0 {
		return nil, p.nothingBefore()
	}
	if len(p.obs) == 0 {
		return nil, &Error{Kind: Empty, File: p.file, Message: "no row holds a temperature",
			Hint: "the elements needed are TMAX and TMIN"}
	}
	if err := p.decideDates(); err != nil {
		return nil, err
	}
	if until := p.options.Until; until != nil && p.late() {
		if p.obs = slices.DeleteFunc(p.obs, func(o observation) bool { return o.date.day > *until }); len(p.obs) == 0 {
			return nil, p.nothingBefore()
		}
	}
	f := &File{Layout: p.layout.name, Dates: p.dates, Rows: p.rowCount, Flagged: p.flagged, Short: p.short,
		Half: p.layout.one, Skipped: p.skipped}
	if err := p.wholeDays(f); err != nil {
		return nil, err
	}
	p.ends(f)
	first, last := p.obs[0].date.day, p.obs[0].date.day
	ascending := true // one row a day
	for i := 1; i < len(p.obs); i++ {
		d := p.obs[i].date.day
		ascending = ascending && d > p.obs[i-1].date.day
		first, last = min(first, d), max(last, d)
	}
	if int(last-first) > maxYears*366 {
		return nil, &Error{Kind: TooLarge, Field: string(roleDate), File: p.file,
			Message: fmt.Sprintf("the dates run from %s to %s, more than %d years", first, last, maxYears),
			Hint:    "look for a mistyped year"}
	}
	if m := p.layout.months; m != nil {
		f.Columns = m.columns
	}
	for i, r := range p.layout.roles {
		if r != roleNone && p.layout.months == nil {
			f.Columns = append(f.Columns, Column{i + 1,
				strings.TrimSpace(strings.TrimPrefix(p.layout.header[i], "\ufeff")), meaning[r]})
		}
	}
	if p.caution != "" {
		f.Cautions = append(f.Cautions, p.caution)
	}
	if p.marked > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("Values with a mark behind them, such as e or *, are used as they are: %d.",
			p.marked))
	}
	if len(p.layout.unused) > 0 {
		f.Notes = append(f.Notes, p.layout.unusedFlags())
	}
	p.place.Name = clipped(p.place.Name)
	rec := climate.NewRecord(p.place, first, int(last-first)+1)
	if p.precip {
		rec.PrecipMM = slices.Repeat([]float64{math.NaN()}, rec.Len())
	}
	if ascending {
		p.placeRows(rec)
	} else if err := p.fillIn(rec, f); err != nil {
		return nil, err
	}
	if err := p.convert(rec, f); err != nil {
		return nil, err
	}
	if err := p.continuous(rec); err != nil {
		return nil, err
	}
	p.forecastErrors(rec, f)
	f.Record = rec
	return f, nil
}

// forecastErrors puts the days ahead and the standard errors of a forecast on
// their days. An error without a unit of its own is in that of the temperatures.
func (p *parser) forecastErrors(rec *climate.Record, f *File) {
	if p.ahead == nil {
		return
	}
	perDegree := 1.0
	unit := Unit(p.layout.units[roleSD])
	if unit == "" {
		unit = f.Unit
	}
	switch unit {
	case Fahrenheit:
		perDegree = 1.8
	case TenthsC:
		perDegree = 10
	}
	nan := []float64{math.NaN()}
	lead, errorC := slices.Repeat(nan, rec.Len()), slices.Repeat(nan, rec.Len())
	for _, o := range p.obs {
		v := p.ahead[int(o.line)]
		i := rec.Index(o.date.day)
		lead[i], errorC[i] = v[0], v[1]/perDegree
	}
	if p.layout.has(roleLead) {
		f.LeadDays = lead
	}
	if p.layout.has(roleSD) {
		f.ErrorC = errorC
	}
}

func (p *parser) nothingBefore() error {
	return &Error{Kind: Empty, File: p.file, Message: fmt.Sprintf("no row is of a day up to %s", *p.options.Until)}
}

// placeRows puts the observations, one a day, on their days, in the units of the file.
func (p *parser) placeRows(rec *climate.Record) {
	for i := range p.obs {
		o := &p.obs[i]
		k := rec.Index(o.date.day)
		rec.TMaxC[k], rec.TMinC[k] = o.tmax, o.tmin
		if rec.PrecipMM != nil {
			rec.PrecipMM[k] = o.precip
		}
	}
}

// fillIn is placeRows where a day can have several rows, whose values must not contradict
// each other.
func (p *parser) fillIn(rec *climate.Record, f *File) error {
	seen := make([]int32, 3*rec.Len()) // line of each value, for repeats
	conflicts := 0
	put := func(series []float64, kind, i int, v float64, line int32) bool {
		at := &seen[3*i+kind]
		switch {
		case math.IsNaN(v):
			return false
		case *at == 0:
			series[i], *at = v, line
			return false
		case series[i] == v:
			return true
		}
		conflicts++
		f.Suspect = append(f.Suspect, check.Suspect{Test: "two values", Series: check.Both,
			First: rec.Day(i), Last: rec.Day(i), Values: 1,
			Reason: fmt.Sprintf("the day stands on lines %d and %d with different values", *at, line)})
		series[i] = math.NaN()
		return false
	}
	for _, o := range p.obs {
		i := rec.Index(o.date.day)
		before := conflicts
		again := put(rec.TMaxC, 0, i, o.tmax, o.line)
		again = put(rec.TMinC, 1, i, o.tmin, o.line) || again
		if rec.PrecipMM != nil {
			again = put(rec.PrecipMM, 2, i, o.precip, o.line) || again
		}
		if again && conflicts == before {
			f.Repeated++
		}
	}
	if conflicts > 2 && conflicts*20 > len(p.obs) {
		return &Error{Kind: Contradiction, File: p.file,
			Message: fmt.Sprintf("%d values of %d rows contradict another row of their day; the first: %s",
				conflicts, len(p.obs), f.Suspect[0].Reason),
			Hint: "keep one station and one row a day in the file"}
	}
	return nil
}

// convert finds the unit and brings every value to °C and mm.
func (p *parser) convert(rec *climate.Record, f *File) error {
	if hi, lo := anyKnown(rec.TMaxC), anyKnown(rec.TMinC); !hi && !lo || !p.layout.one && !(hi && lo) {
		return &Error{Kind: Empty, File: p.file, Message: "every temperature is missing"}
	}
	fits, err := p.decideUnit(rec, f)
	if err != nil {
		return err
	}
	for _, series := range [][]float64{rec.TMaxC, rec.TMinC} {
		f.Unit.toCelsius(series)
	}
	if err := p.believable(rec, f, fits); err != nil {
		return err
	}
	p.convertRain(rec, f)
	return nil
}

// maxOutside is the share of values that may lie beyond what was ever measured
// before the unit is what is wrong.
const maxOutside = 0.05

// believable refuses a record that cannot be in the unit it is read in.
func (p *parser) believable(rec *climate.Record, f *File, fits []Unit) error {
	values, swapped, beyond := 0, 0, 0
	lows := rec.TMinC[:rec.Len()]
	for i, hi := range rec.TMaxC {
		lo := lows[i]
		if !rec.Missing(i) {
			values += 2
		} else if p.layout.one && !(math.IsNaN(hi) && math.IsNaN(lo)) {
			values++
		}
		if hi < lo {
			swapped++
		}
		if check.NeverMeasured(hi) {
			beyond++
		}
		if check.NeverMeasured(lo) {
			beyond++
		}
	}
	if 4*swapped > values {
		return &Error{Kind: Swapped, Field: string(roleTMax), File: p.file,
			Message: fmt.Sprintf("the highest temperature lies below the lowest on %d of %d days: "+
				"the two columns seem swapped", swapped, values/2)}
	}
	outOfRange := float64(beyond) > maxOutside*float64(values)
	// The values of a whole year are no climate of turf in the unit, but one
	// in another.
	misfit := rec.Len() >= wholeYear && len(fits) > 0 && !slices.Contains(fits, f.Unit)
	if !outOfRange && !misfit {
		return nil
	}
	if d, ok := check.UnitChange(rec); ok {
		return &Error{Kind: MixedUnits, File: p.file, Message: fmt.Sprintf("%v: %s", check.ErrUnitChange, d.Reason),
			Hint: "bring the file to one unit"}
	}
	e := &Error{Kind: OutOfRange, File: p.file,
		Message: fmt.Sprintf("the temperatures cannot be in %s (%s)", f.Unit.Name(), f.UnitReason)}
	if outOfRange {
		outside := check.Range(rec)
		d := outside[len(outside)-1]
		e.Message += fmt.Sprintf(": %d of %d lie beyond any on Earth; on %s %s", len(outside), values, d.First,
			d.Reason)
	}
	if misfit {
		e.Message += "; they look like " + unitNames(fits)
		e.Kind = WrongUnit
	}
	return e
}

// decideUnit finds the unit, and returns those in which the values would be a
// climate.
func (p *parser) decideUnit(rec *climate.Record, f *File) ([]Unit, error) {
	stated, err := headerUnit(p.layout)
	if err != nil {
		return nil, &Error{Kind: MixedUnits, File: p.file, Line: p.layout.skip + 1, Message: err.Error(),
			Hint: "give both in one unit"}
	}
	fits := detectUnit(rec.TMaxC, rec.TMinC, rec.Len(), p.layout.one)
	given := p.options.Unit
	if given == Auto {
		given = ""
	}
	switch {
	case given != "" && stated != Auto && given != stated:
		return nil, &Error{Kind: UnitConflict, File: p.file, Line: p.layout.skip + 1,
			Message: fmt.Sprintf("the header gives %s, not %s as asked for", stated.Name(), given.Name())}
	case given != "":
		f.Unit, f.UnitReason = given, "as given"
		return fits, nil
	case stated != Auto:
		f.Unit, f.UnitReason = stated, "from the header"
		return fits, nil
	case len(fits) == 1:
		f.Unit, f.UnitReason = fits[0], "found from the values"
		return fits, nil
	case len(fits) == 0:
		return nil, &Error{Kind: UnknownUnit, File: p.file,
			Message: "the temperatures are of no place where turf grows, in °C, °F or tenths of °C"}
	}
	for _, u := range fits {
		if u == TenthsC && p.layout.long() {
			f.Unit, f.UnitReason = TenthsC, "by the layout"
			return fits, nil
		}
	}
	return nil, &Error{Kind: UnknownUnit, File: p.file, Message: "the temperatures could be in " + unitNames(fits),
		Units: fits}
}

func anyKnown(y []float64) bool {
	return slices.ContainsFunc(y, func(v float64) bool { return !math.IsNaN(v) })
}
