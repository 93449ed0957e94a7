package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/forecast/turf"
)

// A trial is a record that a seed makes up, finite but otherwise of any kind, and
// the command lines to answer from it.
type trial struct {
	text     string
	calendar climate.Calendar
	lines    [][]string
}

// newTrial draws the weather of a climate, or no weather at all: steps, noise,
// values at the very threshold; with gaps, faults and ends where they come.
func newTrial(seed uint64) trial {
	r := rand.New(rand.NewPCG(seed, 7))
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	lat := between(-66, 66)
	south := lat < 0
	first := climate.Date(1900+r.IntN(110), 1, 1) + climate.Day(r.IntN(366))
	n := 370 + r.IntN(14*365)
	mean, amplitude, swing, noise := between(0, 24), between(2, 20), between(0, 20), between(0, 8)
	kind := r.IntN(8)
	gap := []float64{0, 0, 0.01, 0.1, 0.5}[r.IntN(5)]
	blank := 0 // days of a longer gap that are left
	anomaly := 0.0
	threshold := []float64{-2.2, -2.25, 0, 7.2, 12.8}[r.IntN(5)]
	var b strings.Builder
	fmt.Fprintf(&b, "Latitude: %.2f\ndate,tmax_c,tmin_c,prcp_mm\n", lat)
	for i := range n {
		d := first + climate.Day(i)
		phase := 2 * math.Pi * float64(d.YearDay()-200) / 365.25
		warmth := math.Cos(phase)
		if south {
			warmth = -warmth
		}
		anomaly = 0.7*anomaly + noise*r.NormFloat64()
		t := mean + amplitude*warmth + anomaly
		hi, lo := t+swing/2, t-swing/2
		switch kind {
		case 0: // white noise over what the Earth has
			hi, lo = between(-60, 50), between(-60, 50)
			hi, lo = max(hi, lo), min(hi, lo)
		case 1: // summer and winter without a passage
			t = mean + amplitude*math.Copysign(1, warmth)
			hi, lo = t+float64(i%7)/10+5, t-float64(i%5)/10-5
		case 2: // never below, or just at, a threshold
			lo = max(lo, threshold)
			hi = max(hi, lo)
		case 3: // a slow drift of the years
			hi, lo = hi+float64(i)/400, lo+float64(i)/400
		case 4: // single values that cannot be
			if r.IntN(200) == 0 {
				hi += between(-90, 90)
			}
		}
		if blank == 0 && r.IntN(1500) == 0 {
			blank = r.IntN(120)
		}
		cells := []string{
			fmt.Sprintf("%.1f", hi),
			fmt.Sprintf("%.1f", lo),
			fmt.Sprintf("%.1f", max(0, 12*r.NormFloat64()-6)),
		}
		for k := range cells {
			if blank > 0 && k < 2 || r.Float64() < gap/3 {
				cells[k] = ""
			}
		}
		blank = max(0, blank-1)
		fmt.Fprintf(&b, "%s,%s\n", d, strings.Join(cells, ","))
	}
	tr := trial{b.String(), climate.Calendar{South: south}, nil}
	last := first + climate.Day(n-1)
	day := func(from, to climate.Day) string { return (from + climate.Day(r.IntN(int(to-from)+1))).String() }
	common := func() []string {
		args := []string{
			"--host",
			pick("bermudagrass", "zoysiagrass", "none"),
			"--stage",
			pick("emerged", "mow", "tillered"),
			"--cutoff",
			pick("freeze", "dormancy", "earliest"),
			"--completeness",
			pick("wmo", "strict", "loose"),
		}
		if r.IntN(3) == 0 {
			args = append(
				args,
				"--freeze-temp",
				fmt.Sprintf("%.1fC", between(-10, 2.2)),
				"--open-soil",
				fmt.Sprintf("%.1fC", between(18.4, 30)),
				"--dormancy-soil",
				fmt.Sprintf("%.1fC", between(0, 18.3)),
			)
		}
		if r.IntN(3) == 0 {
			args = append(args, "--unwatered")
		}
		return args
	}
	species := func() string { return turf.All()[r.IntN(len(turf.All()))].ID }
	line := func(command string, args ...string) {
		tr.lines = append(tr.lines, append([]string{command, "-"}, args...))
	}
	line(
		"window",
		append(common(), "--species", species(), "--confidence", fmt.Sprintf("%.3f", between(0.01, 99.99)))...)
	line("window", "--season", fmt.Sprint(last.Year()+r.IntN(3)-1), "--as-of", day(first+300, last))
	asOf := day(last-370, last+40)
	line("outlook", append(common(), "--species", species(), "--sow", day(last-200, last+200), "--as-of", asOf)...)
	line("compare", append(common(), "--sow", day(last-100, last+100))...)
	line(
		"second-pass",
		append(
			common(),
			"--first",
			day(last-120, last),
			"--cover",
			fmt.Sprint(r.IntN(101)),
			"--species",
			species(),
			"--seed-found",
			pick("no", "few", "yes"),
		)...)
	line("soil", "--depth", pick("5", "10"))
	line(
		"freeze",
		"--threshold",
		fmt.Sprintf("%.1fC,28F,36F", between(-40, 30)),
		"--completeness",
		pick("wmo", "strict", "loose"),
	)
	line("record")
	if seed%4 == 0 {
		line("hindcast", append(common(), "--species", species())...)
	}
	return tr
}

// noNumber is what must not be seen in a text.
var noNumber = regexp.MustCompile(`NaN|[+-]Inf|\bInf\b|%!|<nil>|-0(\.0+)? |0001-`)

// message is the form of messages: lower case, no full stop, a hint perhaps.
var message = regexp.MustCompile(`^(swardcast: [^A-Z].*[^.\n]\n)+(hint: .*[^.\n]\n)?$`)

// early are the paths of dates that can lie before the season.
var early = regexp.MustCompile(`\.(stages|clear_on|calendar|water)\b`)

// A reader of JSON answers goes through their keys.
type answerCheck struct {
	t    *testing.T
	line string
	cal  climate.Calendar
	n    int // values looked at
}

// shares are the keys that hold a number from 0 to 1, and whether it may be
// unknown.
var shares = map[string]bool{
	"chance": false, "chance_low": false, "chance_high": false, "mean_chance": false, "observed_share": false, "open_chance": false, "reached_share_now": true,
	"occurred_share": true, "spring_share": true, "held_share": true, "held_low": true, "held_high": true,
	"emerged_share_now": true, "emerged_share_low": true, "emerged_share_high": true, "brier": false, "brier_climatology": false,
	"lost_chance": false, "cover": false, "share": false, "unwatered_dry_share": false, "brier_reliability": false, "brier_resolution": false, "brier_uncertainty": false,
	"confidence": false, "interval": false, "success": true, "alive": true,
}

// known are further numbers that are never unknown.
var known = []string{
	"soil5_c",
	"soil10_c",
	"normal5_c",
	"normal10_c",
	"mean_c",
	"amplitude_c",
	"need_mm",
	"freeze_c",
	"open_soil_c",
}

func (c *answerCheck) fail(path, format string, args ...any) {
	c.t.Helper()
	c.t.Errorf("%s: %s: %s", c.line, path, fmt.Sprintf(format, args...))
}

// value goes through a value. season is the one that dates lie in, 0 for none.
func (c *answerCheck) value(path, key string, v any, season int, within bool) {
	c.n++
	switch x := v.(type) {
	case map[string]any:
		if s, ok := x["season"].(float64); ok {
			season = int(s)
		}
		if lo, ok := x["chance_low"].(float64); ok && x["chance"] != nil {
			p, hi := x["chance"].(float64), x["chance_high"].(float64)
			if !(lo <= p && p <= hi) {
				c.fail(path, "chance %g outside its interval %g to %g", p, lo, hi)
			}
		}
		c.order(path, x)
		for k, e := range x {
			inside := within
			switch k {
			case "opens", "last_safe", "best_sowing", "cutoff", "by_date", "seasons", "dates", "clear_on", "dormant_from", "opens_p50",
				"freeze_p50", "dormancy_p50":
				inside = true
			case "first_freeze", "last_freeze":
				inside = true
			}
			c.value(path+"."+k, k, e, season, inside)
		}
	case []any:
		for i, e := range x {
			c.value(fmt.Sprintf("%s[%d]", path, i), key, e, season, within)
		}
	case float64:
		if _, ok := shares[key]; ok && !(x >= 0 && x <= 1) {
			c.fail(path, "%g is no share", x)
		}
		if math.Abs(x) > 1e6 {
			c.fail(path, "%g", x)
		}
	case nil:
		// The chances of a sow date are unknown where the seasons are too few.
		if unknown, ok := shares[key]; ok && !unknown && !strings.Contains(path, ".by_date[") || slices.Contains(known, key) {
			c.fail(path, "null")
		}
	case string:
		d, err := climate.ParseDay(x)
		if err != nil || !within || season == 0 {
			return
		}
		from, to := c.cal.First(season), c.cal.Last(season)
		switch {
		case strings.Contains(path, ".last_freeze."): // freezes of spring: the half year before the next season begins
			from, to = climate.Date(season, 1, 1), climate.Date(season, 12, 31)
		case early.MatchString(path):
			from -= 62 // sowings of the two months before it
		}
		if d < from || d > to {
			c.fail(path, "%s lies outside the season of %d", x, season)
		}
	}
}

// order checks that quantiles ascend: those that are dates and those that are
// numbers, the unknown left out.
func (c *answerCheck) order(path string, x map[string]any) {
	last := ""
	before := math.Inf(-1)
	sign := 1.0
	if strings.HasSuffix(path, ".last_safe") {
		sign = -1 // the surer the earlier
	}
	for p := 10; p <= 90; p += 10 {
		key := fmt.Sprintf("p%d", p)
		var at float64
		switch v := x[key].(type) {
		case float64:
			at = v
		case string:
			d, err := climate.ParseDay(v)
			if err != nil {
				c.fail(path, "%v", err)
			}
			at = float64(d)
		default:
			continue
		}
		if sign*at < before {
			c.fail(path, "%s comes before %s", key, last)
		}
		before, last = sign*at, key
	}
}

// answersHold runs every command line of a trial in both forms, and returns how
// many were answered.
func answersHold(t *testing.T, seed uint64) (answered int) {
	t.Helper()
	tr := newTrial(seed)
	for _, line := range tr.lines {
		name := fmt.Sprintf("trial %d: %s", seed, strings.Join(line, " "))
		status, stdout, stderr := runLine(tr.text, append(slices.Clone(line), "--format", "json")...)
		textStatus, text, textErr := runLine(tr.text, line...)
		switch {
		case status != textStatus || stderr != textErr:
			t.Errorf("%s: as JSON status %d %s, as text %d %s", name, status, stderr, textStatus, textErr)
		case status == cli.Answered:
			answered++
		case stdout != "" || text != "" || !strings.HasPrefix(stderr, "swardcast: ") || strings.Contains(stderr, "invalid argument"):
			t.Errorf("%s: status %d, standard output %.80q: %s", name, status, stdout, stderr)
		}
		if status != cli.Answered && !message.MatchString(stderr) {
			t.Errorf("%s: the messages are not in their form: %s", name, stderr)
		}
		if m := noNumber.FindString(text + stderr); m != "" {
			i := strings.Index(text+stderr, m)
			t.Errorf("%s: the text has %q: …%s", name, m, (text + stderr)[max(0, i-60):min(len(text+stderr), i+60)])
		}
		if status != cli.Answered {
			continue
		}
		var v any
		if err := json.Unmarshal([]byte(stdout), &v); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		c := &answerCheck{t: t, line: name, cal: tr.calendar}
		c.value("", "", v, 0, false)
		if c.n < 10 {
			t.Errorf("%s: %d values in the answer", name, c.n)
		}
	}
	return answered
}

// No finite record yields what is no number, a date outside its season or a
// chance outside 0 to 1.
func TestAnswersHold(t *testing.T) {
	trials, answered := uint64(40), 0
	if testing.Short() {
		trials = 3
	}
	for seed := range trials {
		answered += answersHold(t, seed)
	}
	t.Logf("%d command lines answered of %d trials", answered, trials)
	if answered < int(2*trials) {
		t.Errorf("only %d command lines were answered: the trials try little", answered)
	}
}

// FuzzAnswers does the same from seeds of the fuzzer.
func FuzzAnswers(f *testing.F) {
	f.Add(uint64(1001))
	f.Fuzz(func(t *testing.T, seed uint64) { answersHold(t, seed) })
}

// FuzzRecordAnswers answers from any text that can be read as a record.
func FuzzRecordAnswers(f *testing.F) {
	for seed := range uint64(4) {
		text := newTrial(seed).text
		f.Add([]byte(text[:min(len(text), 12000)]), 0.0)
	}
	f.Fuzz(func(t *testing.T, text []byte, lat float64) {
		if _, err := recordfile.Read(strings.NewReader(string(text)), "x", recordfile.Options{}); err != nil {
			return
		}
		for _, command := range []string{"record", "window", "freeze", "soil"} {
			status, stdout, stderr := runLine(
				string(text),
				command,
				"-",
				"--format",
				"json",
				fmt.Sprintf("--lat=%g", lat),
			)
			if status == cli.Answered && !json.Valid([]byte(stdout)) || status != cli.Answered && stdout != "" ||
				noNumber.MatchString(stderr) && !strings.Contains(stderr, "latitude") {
				t.Fatalf("%s: status %d: %s", command, status, stderr)
			}
		}
	})
}

// A hindcast says plainly of levels at which no season had a safe date.
func TestHindcastWithoutSafeDates(t *testing.T) {
	tr := newTrial(108)
	line := tr.lines[len(tr.lines)-1]
	status, stdout, stderr := runLine(tr.text, line...)
	if status != cli.Answered || !strings.Contains(stdout, "No date was safe at 80 % in any season") {
		t.Errorf("%v: status %d: %s%s", line, status, stderr, stdout)
	}
}
