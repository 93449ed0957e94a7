package recordfile

import (
	"fmt"
	"math"
	"time"

	"swardcast/climate"
)

// A DateOrder says which number of a date is the day and which the month.
type DateOrder string

// The orders.
const (
	DateAuto    DateOrder = "auto" // found from the whole file
	DayFirst    DateOrder = "day-first"
	MonthFirst  DateOrder = "month-first"
	DateSwapped DateOrder = "swapped" // day and month are swapped on days 1 to 12 alone
)

// DateOrders returns the orders that can be asked for.
func DateOrders() []DateOrder { return []DateOrder{DateAuto, DayFirst, MonthFirst, DateSwapped} }

// late reports whether the day of a row is known only once all are read.
func (p *parser) late() bool {
	return p.form == formDayMonth || p.twoDigit || p.options.DateOrder == DateSwapped
}

// decideDates settles whether the day or the month comes first, and the century,
// where the dates leave that open.
func (p *parser) decideDates() error {
	p.dates = formNames[p.form]
	if p.form == formDayMonth {
		if err := p.decideOrder(); err != nil {
			return err
		}
	}
	if p.twoDigit {
		if err := p.decideCentury(); err != nil {
			return err
		}
	}
	if p.options.DateOrder == DateSwapped {
		for i := range p.obs {
			p.obs[i].date.day = swappedDay(p.obs[i].date.day)
		}
		p.dates += ", day and month swapped back on days 1 to 12"
		return nil
	}
	return p.stepwise()
}

// decideOrder finds which of two numbers before the year is the day.
func (p *parser) decideOrder() error {
	monthFirst, dayFirst := true, true
	stepsMonth, stepsDay, n := 0, 0, 0
	var before date
	fixed := false
	for _, o := range p.obs {
		if o.date.fixed {
			fixed = true
			continue
		}
		if n++; !o.date.dayValid {
			monthFirst = false
		}
		if !o.date.otherValid {
			dayFirst = false
		}
		if n > 1 {
			if o.date.day-before.day == 1 {
				stepsMonth++
			}
			if o.date.other-before.other == 1 {
				stepsDay++
			}
		}
		before = o.date
	}
	if monthFirst && dayFirst {
		// Every date can be read both ways; only one makes the rows follow
		// each other day by day.
		enough := n / 2
		monthFirst = stepsMonth > 2*stepsDay && stepsMonth >= enough
		dayFirst = stepsDay > 2*stepsMonth && stepsDay >= enough
	}
	switch p.options.DateOrder {
	case DayFirst:
		monthFirst, dayFirst = false, true
	case MonthFirst:
		monthFirst, dayFirst = true, false
	}
	if monthFirst == dayFirst {
		return &Error{Kind: DateOrderOpen, Field: string(roleDate), File: p.file, Line: int(p.obs[0].line),
			Message: "it cannot be told whether the dates put the day or the month first",
			Hint:    "write the dates as YYYY-MM-DD"}
	}
	p.dates = "month first, year last"
	if dayFirst {
		p.dates = "day first, year last"
	}
	for i := range p.obs {
		d := &p.obs[i].date
		switch {
		case d.fixed:
		case dayFirst && !d.otherValid || monthFirst && !d.dayValid:
			return &Error{Kind: DateOrderOpen, Field: string(roleDate), File: p.file, Line: int(p.obs[i].line),
				Message: "the date is none with the " + p.dates[:len(p.dates)-len(", year last")],
				Hint:    "write the dates as YYYY-MM-DD"}
		case dayFirst:
			d.day = d.other
		}
	}
	if fixed {
		p.dates += ", some year first"
	}
	return nil
}

// swappedDay returns a day with day and month swapped, itself where that is none.
func swappedDay(d climate.Day) climate.Day {
	y, m, n := d.Date()
	if n > 12 {
		return d
	}
	return climate.Date(y, time.Month(n), int(m))
}

const (
	stepwiseShare = 0.9  // of rows that follow the row before by a day, from which on nothing is looked for
	mendedShare   = 0.15 // of rows that must follow better with day and month swapped
	stepwiseRows  = 30
)

// stepwise refuses rows that run day by day only with day and month swapped on days
// 1 to 12: a spreadsheet that expects the other order swaps these and leaves the
// rest, which it takes for text.
func (p *parser) stepwise() error {
	rows, steps := 0, 0
	for i := 1; i < len(p.obs); i++ {
		switch p.obs[i].date.day - p.obs[i-1].date.day {
		case 0: // another element, or hour, of the day
		case 1, -1:
			steps++
			rows++
		default:
			rows++
		}
	}
	if rows < stepwiseRows || float64(steps) >= stepwiseShare*float64(rows) {
		return nil
	}
	mended, at := 0, 0
	for i := 1; i < len(p.obs); i++ {
		a, b := p.obs[i-1].date.day, p.obs[i].date.day
		if a == b {
			continue
		}
		if d := swappedDay(b) - swappedDay(a); d == 1 || d == -1 {
			if mended++; at == 0 && b-a != d {
				at = i
			}
		}
	}
	if float64(mended-steps) < mendedShare*float64(rows) {
		return nil
	}
	return p.swappedDates(int(p.obs[at].line), fmt.Sprintf(
		"%d of %d rows follow the row before by a day, and %d do with the two swapped", steps, rows, mended))
}

func (p *parser) swappedDates(line int, why string) error {
	return &Error{Kind: SwappedDates, Field: string(roleDate), File: p.file, Line: line,
		Message: "day and month are swapped on days 1 to 12, as by a spreadsheet that expects the other order: " + why,
		Hint:    "open the original file with the dates as text, and write them as YYYY-MM-DD"}
}

const (
	roughRatio = 1.3  // changes on days 1 to 12 to those on days 14 to 28, from which on they are looked at
	mendRatio  = 0.85 // changes with day and month swapped to those as written, up to which it is that
	roughDays  = 100  // pairs of days of each sort
)

// continuous refuses a record that changes from day to day as weather does only with
// day and month swapped on days 1 to 12, in whatever order the rows stand.
func (p *parser) continuous(rec *climate.Record) error {
	if p.options.DateOrder == DateSwapped {
		return nil
	}
	var early, rest, mended roughness
	year, month, day := rec.First.Date()
	length := climate.DaysIn(year, month)
	for i := range rec.TMaxC {
		switch {
		case i == 0:
		case day >= 2 && day <= 12:
			early.add(rec, i-1, i)
		case day >= 14 && day <= 28:
			rest.add(rec, i-1, i)
		}
		if day++; day > length {
			if day, month = 1, month+1; month > time.December {
				year, month = year+1, time.January
			}
			length = climate.DaysIn(year, month)
		}
	}
	if early.n < roughDays || rest.n < roughDays || early.mean() < roughRatio*rest.mean() {
		return nil
	}
	for i := 1; i < rec.Len(); i++ {
		if _, _, day := rec.Day(i).Date(); day < 2 || day > 12 {
			continue
		}
		a, b := rec.Index(swappedDay(rec.Day(i-1))), rec.Index(swappedDay(rec.Day(i)))
		if min(a, b) >= 0 && max(a, b) < rec.Len() {
			mended.add(rec, a, b)
		}
	}
	if mended.n < roughDays || mended.mean() > mendRatio*early.mean() {
		return nil
	}
	return p.swappedDates(
		0,
		fmt.Sprintf("from day to day temperatures change by %.1f °C on them, by %.1f °C with the "+
			"two swapped, and by %.1f °C on later days", early.mean(), mended.mean(), rest.mean()),
	)
}

// roughness is how much the temperatures of pairs of days differ.
type roughness struct {
	n   int
	sum float64
}

func (r *roughness) add(rec *climate.Record, a, b int) {
	d := math.Abs(rec.TMaxC[b]-rec.TMaxC[a]) + math.Abs(rec.TMinC[b]-rec.TMinC[a])
	if !math.IsNaN(d) {
		r.n++
		r.sum += d / 2
	}
}

func (r *roughness) mean() float64 { return r.sum / float64(r.n) }

// decideCentury gives years of two digits their century: the latest in which none is
// in the future.
func (p *parser) decideCentury() error {
	latest := climate.Date(2068, time.December, 31)
	if p.options.Today != nil {
		latest = *p.options.Today + 1 // where it is tomorrow
	}
	last := p.obs[0].date
	for _, o := range p.obs {
		if o.date.day+climate.Day(o.date.centuries)*centuryDays > last.day+climate.Day(last.centuries)*centuryDays {
			last = o.date
		}
	}
	shift := -int(last.centuries)
	for last.day+climate.Day(shift+int(last.centuries))*centuryDays > latest {
		shift--
	}
	from, to := 9999, 0
	for i := range p.obs {
		o := &p.obs[i]
		d, ok := date{day: o.date.day, dayValid: true}.inYear(100 * (int(o.date.centuries) + shift))
		if !ok {
			return &Error{Kind: BadValue, Field: string(roleDate), File: p.file, Line: int(o.line),
				Message: fmt.Sprintf("the year of two digits does not have the day %s, by the years around it",
					o.date.day.Format("2 January")),
				Hint: "write years of four digits"}
		}
		o.date = d
		from, to = min(from, d.day.Year()), max(to, d.day.Year())
	}
	p.dates += fmt.Sprintf(", years of two digits read as %d to %d", from, to)
	return nil
}
