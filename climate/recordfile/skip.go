package recordfile

import (
	"fmt"
	"strings"
)

// Rows without a date are few: more than this and this share of the others are a fault
// of the file, or of how it is read.
const (
	maxSkipped      = 20
	maxSkippedShare = 0.2
	maxSkippedShown = 100
)

// skips leaves out a row that holds no date: blank, of units, a header again, a total
// or what stands beneath a table. err is what is wrong with its date.
func (p *parser) skips(r *row, err error) bool {
	cell := r.Date
	if !p.has.date {
		cell = r.Year
	}
	if !noDate(cell) {
		return false
	}
	p.unitsRow(r)
	blank := strings.TrimSpace(cell) == ""
	for _, c := range []*reading{&r.TMax, &r.TMin, &r.Temp, &r.Value} {
		if c.state == cellNumber || c.state == cellText && strings.TrimSpace(c.text) != "" {
			blank = false
		}
	}
	if blank {
		return true
	}
	if p.skipRows++; p.skipErr == nil {
		p.skipErr = err
	}
	if len(p.skipped) < maxSkippedShown {
		text := strings.TrimSpace(cell)
		if len(text) > 40 {
			text = strings.ToValidUTF8(text[:40], "") + "…"
		}
		p.skipped = append(p.skipped, Skipped{p.rowLine, strings.Clone(text)})
	}
	return true
}

// unitsRow takes the units from a row that names them in place of values.
func (p *parser) unitsRow(r *row) {
	if p.dated {
		return
	}
	for _, c := range []struct {
		role role
		cell *reading
	}{{roleTMax, &r.TMax}, {roleTMin, &r.TMin}, {roleTemp, &r.Temp}, {rolePrecip, &r.Precip}} {
		if u, ok := unitWord(c.cell.text); ok && c.cell.state == cellText && p.layout.units[c.role] == "" &&
			(match{role: c.role, unit: u}).fits() {
			p.layout.units[c.role] = u
		}
	}
}

// tooManySkipped is the error of a file most of whose rows hold no date.
func (p *parser) tooManySkipped() error {
	if p.skipRows == 0 || p.rowCount > 0 && p.skipRows <= maxSkipped+int(maxSkippedShare*float64(p.rowCount)) {
		return nil
	}
	e, ok := p.skipErr.(*Error)
	if !ok {
		return p.skipErr
	}
	if p.skipRows > 1 {
		e.Message += fmt.Sprintf(", nor is that of %d other rows", p.skipRows-1)
	}
	return e
}

// stamp notes the time of day beside a date.
func (p *parser) stamp(s string) {
	_, clock := cutClock(strings.TrimSpace(s))
	if clock == "" {
		return
	}
	if minute, _, ok := clockOf(clock); ok && minute == 0 {
		p.stamps.midnight++
	} else {
		p.stamps.other++
	}
}

// ends moves days that are stamped at their end, 00:00 of the next, to where they belong.
func (p *parser) ends(f *File) {
	if p.stamps.midnight == 0 || p.stamps.other > 0 {
		return
	}
	if p.layout.endOfDay {
		for i := range p.obs {
			p.obs[i].date.day--
		}
		f.Notes = append(f.Notes,
			"A stamp of 00:00 is the end of the day before, as the table says; the days are so moved.")
		return
	}
	f.Notes = append(
		f.Notes,
		"A stamp of 00:00 is read as the beginning of its day. Where it is the end of the day before, dates are a day late.",
	)
}
