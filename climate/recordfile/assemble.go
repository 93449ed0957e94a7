package recordfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardcast/climate"
)

// assemble puts the observations in the order of days, decides on dates and
// unit, and builds the record.
func (p *parser) assemble() (*File, error) {
	if p.rowCount == 0 {
		return nil, &Error{File: p.file, Line: p.layout.skip + 1, Message: "there is no row below the header"}
	}
	if len(p.obs) == 0 {
		return nil, &Error{File: p.file, Message: "no row holds a temperature", Hint: "the elements needed are TMAX and TMIN"}
	}
	if err := p.decideDates(); err != nil {
		return nil, err
	}
	first, last := p.obs[0].date.day, p.obs[0].date.day
	for _, o := range p.obs {
		first, last = min(first, o.date.day), max(last, o.date.day)
	}
	if int(last-first) > maxYears*366 {
		return nil, &Error{File: p.file, Message: fmt.Sprintf("the dates run from %s to %s, more than %d years", first, last, maxYears), Hint: "look for a mistyped year"}
	}
	f := &File{Layout: p.layout.name, Dates: p.dates, Rows: p.rowCount, Flagged: p.flagged}
	for i, r := range p.layout.roles {
		if r != roleNone {
			f.Columns = append(f.Columns, Column{i + 1, strings.TrimSpace(strings.TrimPrefix(p.layout.header[i], "\ufeff")), meaning[r]})
		}
	}
	rec := climate.NewRecord(p.place, first, int(last-first)+1)
	if p.precip {
		rec.PrecipMM = slices.Repeat([]float64{math.NaN()}, rec.Len())
	}
	if err := p.fillIn(rec, f); err != nil {
		return nil, err
	}
	if err := p.convert(rec, f); err != nil {
		return nil, err
	}
	f.Record = rec
	return f, nil
}

// fillIn puts the observations on their days, in the units of the file.
func (p *parser) fillIn(rec *climate.Record, f *File) error {
	seen := make([]int32, 3*rec.Len()) // line of each value, for repeats
	conflicts := 0
	put := func(series []float64, kind, i int, v float64, line int) bool {
		at := &seen[3*i+kind]
		switch {
		case math.IsNaN(v):
			return false
		case *at == 0:
			series[i], *at = v, int32(line)
			return false
		case series[i] == v:
			return true
		}
		conflicts++
		f.Doubts = append(f.Doubts, Doubt{rec.Day(i), line, fmt.Sprintf("the day stands on line %d too, with another value", *at)})
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
		d := f.Doubts[0]
		return &Error{File: p.file, Line: d.Line, Message: fmt.Sprintf("%d days stand in the file more than once with different values, the first is %s", conflicts, d.Day),
			Hint: "keep one station and one row a day in the file"}
	}
	return nil
}

// decideDates settles whether the day or the month comes first where the dates
// leave that open.
func (p *parser) decideDates() error {
	if p.form != formDayMonth {
		p.dates = formNames[p.form]
		return nil
	}
	monthFirst, dayFirst := true, true
	stepsMonth, stepsDay := 0, 0
	for i, o := range p.obs {
		if !o.date.dayValid {
			monthFirst = false
		}
		if !o.date.otherValid {
			dayFirst = false
		}
		if i > 0 {
			if o.date.day-p.obs[i-1].date.day == 1 {
				stepsMonth++
			}
			if o.date.other-p.obs[i-1].date.other == 1 {
				stepsDay++
			}
		}
	}
	if monthFirst && dayFirst {
		// Every date can be read both ways; only one makes the rows follow
		// each other day by day.
		monthFirst, dayFirst = stepsMonth > 2*stepsDay, stepsDay > 2*stepsMonth
	}
	switch {
	case monthFirst == dayFirst:
		return &Error{File: p.file, Line: p.obs[0].line, Message: "it cannot be told whether the dates put the day or the month first",
			Hint: "write the dates as YYYY-MM-DD"}
	case dayFirst:
		for i := range p.obs {
			p.obs[i].date.day = p.obs[i].date.other
		}
		p.dates = "day first, year last"
	default:
		p.dates = "month first, year last"
	}
	return nil
}

// convert finds the unit and brings every value to °C and mm.
func (p *parser) convert(rec *climate.Record, f *File) error {
	if !anyKnown(rec.TMaxC) || !anyKnown(rec.TMinC) {
		return &Error{File: p.file, Message: "every temperature is missing"}
	}
	if err := p.decideUnit(rec, f); err != nil {
		return err
	}
	outside, values := 0, 0
	for _, s := range []struct {
		name   string
		series []float64
	}{{"highest", rec.TMaxC}, {"lowest", rec.TMinC}} {
		for i, v := range s.series {
			if math.IsNaN(v) {
				continue
			}
			values++
			c := f.Unit.celsius(v)
			if c < lowestEver || c > highestEver {
				outside++
				f.Doubts = append(f.Doubts, Doubt{rec.Day(i), 0, fmt.Sprintf("the %s temperature, %.1f °C, was never measured on Earth", s.name, c)})
				c = math.NaN()
			}
			s.series[i] = c
		}
	}
	if outside*20 > values {
		d := f.Doubts[len(f.Doubts)-1]
		return &Error{File: p.file, Message: fmt.Sprintf("%d of %d temperatures cannot be in %s: on %s %s", outside, values, f.Unit.Name(), d.Day, d.Reason),
			Hint: "give their unit with --temp-unit C, F or tenths-C"}
	}
	toMM := f.Unit.millimetres
	switch p.layout.units[rolePrecip] {
	case "mm":
		toMM = Celsius.millimetres
	case "in":
		toMM = Fahrenheit.millimetres
	}
	for i, v := range rec.PrecipMM {
		rec.PrecipMM[i] = toMM(v)
	}
	return nil
}

func (p *parser) decideUnit(rec *climate.Record, f *File) error {
	stated, err := headerUnit(p.layout)
	if err != nil {
		return &Error{File: p.file, Line: p.layout.skip + 1, Message: err.Error(), Hint: "give both in one unit"}
	}
	if o := p.options.Unit; o != "" && o != Auto {
		f.Unit, f.UnitReason = o, "as told"
		return nil
	}
	if stated != Auto {
		f.Unit, f.UnitReason = stated, "from the header"
		return nil
	}
	fits := detectUnit(rec.TMaxC, rec.TMinC, rec.Len())
	switch {
	case len(fits) == 1:
		f.Unit, f.UnitReason = fits[0], "found from the values"
		return nil
	case len(fits) == 0:
		return &Error{File: p.file, Message: "the temperatures are no climate of turf in °C, °F or tenths of °C",
			Hint: "give their unit with --temp-unit C, F or tenths-C"}
	}
	for _, u := range fits {
		if u == TenthsC && p.layout.long() {
			f.Unit, f.UnitReason = TenthsC, "by the layout"
			return nil
		}
	}
	return &Error{File: p.file, Message: "the temperatures could be in " + unitNames(fits),
		Hint: "give their unit with --temp-unit C, F or tenths-C"}
}

func anyKnown(y []float64) bool {
	return slices.ContainsFunc(y, func(v float64) bool { return !math.IsNaN(v) })
}
