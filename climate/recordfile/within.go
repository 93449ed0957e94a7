package recordfile

import (
	"fmt"
	"math"
	"math/bits"
	"strings"

	"swardcast/climate"
)

// minHours is how many hours of a day its rows must cover for their highest and lowest
// to be taken for those of the day: of fewer the afternoon or the end of the night may
// be missing. Common practice of climatology asks for three quarters and more.
const minHours = 20

// A withinDay gathers rows of one day that stand at different times of it.
type withinDay struct {
	minute int      // of the row, -1 where it gives none
	before int      // of the row before
	utc    bool     // the stamps say that they are in UTC
	shift  int      // minutes from the stamps to the day of the place
	hours  []uint32 // that each observation covers, a bit an hour
	merged int      // rows taken into the observation before them
}

// clock reads the time of day of a row, which may move its date to the day of the
// place.
func (p *parser) clock(r *row, d date) date {
	w := &p.within
	w.before, w.minute = w.minute, -1
	text := r.Time
	if !p.layout.has(roleTime) {
		_, text = cutClock(strings.TrimSpace(r.Date))
		if p.form == formSerial {
			text = serialClock(r.Date)
		}
	}
	if text = strings.TrimSpace(text); text == "" {
		return d
	}
	if strings.HasPrefix(text, "0.") {
		text = serialClock(text) // a share of the day, as spreadsheets store it
	}
	minute, utc, ok := clockOf(text)
	if !ok {
		return d
	}
	if utc && !w.utc && p.layout.moment {
		w.utc = true
		if p.place.Longitude != nil {
			w.shift = int(math.Round(*p.place.Longitude/15)) * 60
		}
	}
	if w.shift != 0 {
		minute += w.shift
		moved := climate.Day(math.Floor(float64(minute) / minutesPerDay))
		minute -= int(moved) * minutesPerDay
		if d.dayValid {
			d.day += moved
		}
		if d.otherValid {
			d.other += moved
		}
	}
	w.minute = minute
	return d
}

const minutesPerDay = 24 * 60

// serialClock is the time of day of serial days with a share of the day behind.
func serialClock(s string) string {
	_, fraction, _ := strings.Cut(strings.TrimSpace(s), ".")
	if v, ok := plainNumber("0." + fraction); ok && fraction != "" {
		m := int(math.Round(v * minutesPerDay))
		return fmt.Sprintf("%d:%02d", m/60, m%60)
	}
	return ""
}

// gather takes a row into the observation before it where both are of one day, at
// different times, and reports whether it did.
func (p *parser) gather(o *observation) bool {
	w := &p.within
	if w.minute < 0 {
		return false
	}
	hour := uint32(1) << min(w.minute/60, 23)
	n := len(p.obs)
	w.cover(n)
	if n == 0 || p.obs[n-1].date != o.date || w.minute == w.before {
		w.hours = append(w.hours, hour)
		return false
	}
	last := &p.obs[n-1]
	last.tmax, last.tmin = fmax(last.tmax, o.tmax), fmin(last.tmin, o.tmin)
	if !math.IsNaN(o.tmax) || !math.IsNaN(o.tmin) {
		w.hours[n-1] |= hour
	}
	w.merged++
	return true
}

// cover has hours for so many observations; those without a time of day cover none.
func (w *withinDay) cover(n int) {
	for len(w.hours) < n {
		w.hours = append(w.hours, 0)
	}
}

// fmax and fmin leave out what is missing.
func fmax(a, b float64) float64 {
	if math.IsNaN(a) || b > a {
		return b
	}
	return a
}

func fmin(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}

// wholeDays leaves the days whose rows cover enough of them, where there are several
// rows a day.
func (p *parser) wholeDays(f *File) error {
	w := &p.within
	if w.merged == 0 || !p.layout.moment && w.merged < p.rowCount/2 {
		if p.layout.moment {
			return &Error{Kind: MissingColumn, Field: string(roleTMax), File: p.file, Line: p.layout.skip + 1,
				Message: "there is one temperature a row and no time of day that tells the rows of a day apart: " +
					"the highest and the lowest of the day are needed"}
		}
		if w.merged > 0 {
			f.Notes = append(f.Notes,
				fmt.Sprintf("%d rows stand beside another of their day, at another time: the highest "+
					"and the lowest of both are taken.", w.merged))
		}
		return nil
	}
	// Rows of a day may stand apart, in a file that is not in order.
	w.cover(len(p.obs))
	byDay := map[date]int{}
	kept, hours := p.obs[:0], w.hours[:0]
	for i, o := range p.obs {
		if k, ok := byDay[o.date]; ok {
			kept[k].tmax, kept[k].tmin = fmax(kept[k].tmax, o.tmax), fmin(kept[k].tmin, o.tmin)
			hours[k] |= w.hours[i]
			continue
		}
		byDay[o.date] = len(kept)
		kept, hours = append(kept, o), append(hours, w.hours[i])
	}
	days := len(kept)
	n := 0
	for i, o := range kept {
		if bits.OnesCount32(hours[i]) >= minHours {
			kept[n] = o
			n++
		}
	}
	p.obs = kept[:n]
	if n == 0 {
		return &Error{Kind: Empty, File: p.file,
			Message: fmt.Sprintf("no day has rows in %d of its hours, which its highest and lowest need", minHours),
			Hint:    "take rows of every hour, or the record of daily extremes"}
	}
	if days > n {
		f.Notes = append(f.Notes, fmt.Sprintf("%d of %d days are left out: their rows cover fewer than %d hours.",
			days-n, days, minHours))
	}
	f.Layout = fmt.Sprintf("%.3g rows a day, from which the highest and lowest are taken",
		float64(p.rowCount)/float64(days))
	of := "of the stamps in the file"
	switch {
	case w.shift != 0:
		of = fmt.Sprintf("%d hours from the UTC of the stamps, by the longitude", w.shift/60)
	case w.utc:
		of = "UTC, as the stamps say, which may cut the afternoon in two"
	}
	f.Cautions = append(f.Cautions,
		"Highest and lowest are those of readings within the day, which fall short of the true "+
			"extremes; a day runs from midnight to midnight "+of+".")
	if p.precip {
		f.Notes = append(f.Notes, "The rain of rows within the day is left out.")
		p.precip = false
	}
	return nil
}
