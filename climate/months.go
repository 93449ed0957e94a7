package climate

import "time"

// A Month is how much of a calendar month a record has.
type Month struct {
	Year     int
	Month    time.Month
	Days     int  // of the month between the first and the last day of the record
	Missing  int  // days of them without both temperatures
	Complete bool // by a rule
}

// Months returns the months of a record in order, judged by the rule. It panics for a
// record that [Record.Validate] refuses.
func (c Completeness) Months(r *Record) []Month {
	if err := r.Validate(); err != nil {
		panic("climate: " + err.Error())
	}
	var out []Month
	for first := r.First; first <= r.Last(); {
		y, m, _ := first.Date()
		next := Date(y, m+1, 1)
		last := min(next-1, r.Last())
		g, ok := c.Gap(first, last, func(d Day) bool { return r.Missing(r.Index(d)) })
		out = append(out, Month{y, m, int(last-first) + 1, g.Total, ok})
		first = next
	}
	return out
}
