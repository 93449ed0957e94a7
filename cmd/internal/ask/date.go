package ask

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"swardcast/climate"
	"swardcast/cmd/internal/cli"
)

// A Date is a flag that takes a day as people write it: 2026-10-14, Oct 14 2026,
// 14 October, 10/14. A day without a year has one once a record is read: see InSeason
// and Past.
type Date struct {
	Day   climate.Day // of a date with a year, or once a year is found
	Given bool

	text  string
	month time.Month // of a date without a year; 0 for one that has it
	day   int
}

func (d *Date) String() string {
	switch {
	case !d.Given:
		return ""
	case d.month != 0:
		return d.text
	}
	return d.Day.String()
}
func (d *Date) Type() string    { return "DATE" }
func (d *Date) Example() string { return "2026-10-14" }
func (d *Date) Set(s string) error {
	x, err := parseDate(s)
	if err != nil {
		return err
	}
	*d = x
	return nil
}

// HasYear reports whether the date was typed with its year.
func (d *Date) HasYear() bool { return d.month == 0 }

// AnyYear is the day with the month and the day of the month typed: of the year typed, or
// of 2000 where there was none.
func (d *Date) AnyYear() climate.Day {
	if d.HasYear() {
		return d.Day
	}
	return climate.Date(2000, d.month, d.day)
}

// dateWord is a number or a word of a typed date; what stands between does not count.
var dateWord = regexp.MustCompile(`[\p{L}]+|[0-9]+`)

// parseDate reads a day as people write it. Two numbers that could each be the month
// are refused with both days.
func parseDate(s string) (Date, error) {
	bad := cli.Valuef(nil, "it is no date; write it as 2026-10-14, or Oct 14")
	if strings.ContainsFunc(s, func(r rune) bool {
		return !unicode.IsLetter(r) && !('0' <= r && r <= '9') && !strings.ContainsRune(" -/.,", r)
	}) || strings.HasPrefix(strings.TrimSpace(s), "-") {
		return Date{}, bad
	}
	var numbers []string
	month := time.Month(0)
	for _, w := range dateWord.FindAllString(s, -1) {
		switch m := monthOf(w); {
		case w[0] >= '0' && w[0] <= '9':
			numbers = append(numbers, w)
		case m != 0 && month == 0:
			month = m
		case len(numbers) > 0 && slices.Contains([]string{"st", "nd", "rd", "th"}, strings.ToLower(w)):
		default:
			return Date{}, bad
		}
	}
	if len(numbers) == 1 && month == 0 && len(numbers[0]) == 8 { // 20261014
		n := numbers[0]
		numbers = []string{n[:4], n[4:6], n[6:]}
	}
	year := "" // its text
	switch n := len(numbers); {
	case month != 0 && n == 2 && len(numbers[0]) == 4, month == 0 && n == 3 && len(numbers[0]) == 4:
		year, numbers = numbers[0], numbers[1:]
		if month == 0 { // the month follows the year
			return dateOf(s, year, [2]string{numbers[0], numbers[1]}, false, bad)
		}
	case month != 0 && n == 2, month == 0 && n == 3:
		year, numbers = numbers[n-1], numbers[:n-1]
	}
	switch {
	case month != 0 && len(numbers) == 1:
		return dateOf(s, year, [2]string{strconv.Itoa(int(month)), numbers[0]}, false, bad)
	case month == 0 && len(numbers) == 2:
		return dateOf(s, year, [2]string{numbers[0], numbers[1]}, true, bad)
	}
	return Date{}, bad
}

// monthOf is the month that a word of three characters or more is the beginning of.
func monthOf(word string) time.Month {
	w := strings.ToLower(word)
	for m := time.January; m <= time.December; m++ {
		name := strings.ToLower(m.String())
		if len(w) >= 3 && strings.HasPrefix(name, w) || w == "sept" && m == time.September {
			return m
		}
	}
	return 0
}

// dateOf is the date of a year, which may be "", and of a month and a day, which may
// be the other way round where either is true.
func dateOf(s, year string, monthDay [2]string, either bool, bad error) (Date, error) {
	y := 2024 // has every day
	if year != "" {
		var err error
		if y, err = strconv.Atoi(year); err != nil || len(year) != 4 && len(year) != 2 {
			return Date{}, bad
		}
		if len(year) == 2 {
			y += 2000
		}
	}
	a, errA := strconv.Atoi(monthDay[0])
	b, errB := strconv.Atoi(monthDay[1])
	if errA != nil || errB != nil || len(monthDay[0]) > 2 || len(monthDay[1]) > 2 {
		return Date{}, bad
	}
	var found []Date
	for _, x := range [][2]int{{a, b}, {b, a}} {
		if month := time.Month(x[0]); climate.ValidDate(y, month, x[1]) {
			d := Date{Day: climate.Date(y, month, x[1]), Given: true, text: strings.TrimSpace(s)}
			if year == "" {
				d.Day, d.month, d.day = 0, month, x[1]
			}
			found = append(found, d)
		}
		if !either || a == b {
			break
		}
	}
	switch len(found) {
	case 0:
		return Date{}, cli.Valuef(nil, "there is no such day")
	case 1:
		return found[0], nil
	}
	written := func(d Date) (long, short string) {
		if year != "" {
			return d.Day.Format("2 January 2006"), d.Day.String()
		}
		day := climate.Date(y, d.month, d.day)
		return day.Format("2 January"), day.Format("Jan 2")
	}
	longA, shortA := written(found[0])
	longB, shortB := written(found[1])
	return Date{}, cli.Valuef([]string{shortA, shortB}, "is it %s or %s?", longA, longB)
}

// years are the days that a date without a year can be, around another day, in their
// order.
func (d *Date) years(around climate.Day) []climate.Day {
	const most = 8 // years between two leap days, as around 1900
	var days []climate.Day
	for y := around.Year() - most; y <= around.Year()+most; y++ {
		if climate.ValidDate(y, d.month, d.day) {
			days = append(days, climate.Date(y, d.month, d.day))
		}
	}
	return days
}

// Past gives a date without a year that of the last such day up to another, and says
// so.
func (d *Date) Past(p *cli.Program, upTo climate.Day) {
	if !d.Given || d.month == 0 {
		return
	}
	for _, day := range d.years(upTo) {
		if day <= upTo {
			d.Day = day
		}
	}
	d.understood(p, "the last one up to "+upTo.String())
}

// InSeason gives a date without a year that of the season at hand as of today, and
// says so. A day that no season has is the nearest.
func (d *Date) InSeason(p *cli.Program, in *Station) {
	if !d.Given || d.month == 0 {
		return
	}
	season := in.Calendar.SeasonHolding(in.AsOf)
	was, why := d.Day, ""
	for _, day := range d.years(in.AsOf) {
		switch {
		case day >= in.Calendar.First(season) && day <= in.Calendar.Last(season):
			d.Day, why = day, "in the season at hand"
		case why == "" && (d.Day == was || distance(day, in.AsOf) < distance(d.Day, in.AsOf)):
			d.Day = day
		}
	}
	if why == "" {
		why = "the nearest to " + in.AsOf.String()
	}
	if d.Day != was {
		d.understood(p, why)
	}
}

func distance(a, b climate.Day) climate.Day { return max(a-b, b-a) }

func (d *Date) understood(p *cli.Program, why string) {
	p.Say("%s is taken as %s, %s", fmt.Sprintf("%q", d.text), d.Day, why)
}
