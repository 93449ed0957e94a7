package ask

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/cli"
)

// turfOptions are the error of the flags of turf.
func turfOptions(t *testing.T, args ...string) error {
	t.Helper()
	var tf TurfFlags
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	tf.Declare(f)
	if err := f.Parse(args); err != nil {
		return err
	}
	_, err := tf.Options(&cli.Program{})
	return err
}

// A threshold that cannot be meant is refused, with what was understood and the unit that
// would make sense; so is an opening below dormancy.
func TestThresholdsThatCannotBeMeant(t *testing.T) {
	for line, want := range map[string]string{
		"--freeze-temp=-2F": "that is -18.9 °C (-2 °F); a killing freeze of the air is between 14 and 36 °F",
		"--freeze-temp 28C": "28.0 °C (82 °F)", "--freeze-temp 13F": "between 14 and 36 °F",
		"--open-soil 75C":                       "75.0 °C (167 °F); soil that is cool enough to sow is between 50 and 86 °F",
		"--dormancy-soil 70F":                   "the soil in which turf goes dormant is between 32 and 65 °F",
		"--open-soil 50F":                       "dormant before sowing opens",
		"--open-soil 60F --dormancy-soil 60F":   "dormant before sowing opens",
		"--freeze-temp 24F --open-soil 70F":     "",
		"--freeze-temp 2.2C --open-soil 30C":    "",
		"--open-soil 50F --dormancy-soil 45F":   "",
		"--freeze-temp=-10C --dormancy-soil 0C": "",
	} {
		err := turfOptions(t, strings.Fields(line)...)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", line, err)
		}
	}
	for typed, want := range map[string]string{"28C": "28F", "-2F": "-2C", "-2 °F": "-2C", "75F": ""} {
		if got := instead(killingFreezes.check(typed, celsiusOf(t, typed))); got != want {
			t.Errorf("%s: instead %q, want %q", typed, got, want)
		}
	}
}

func celsiusOf(t *testing.T, typed string) float64 {
	t.Helper()
	c, err := ParseTemperature(typed)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestRatesThatCannotBeMeant(t *testing.T) {
	for rate, refused := range map[string]bool{"400lb/1000ft2": true, "61lb/1000ft2": true, "0.09lb/1000ft2": true,
		"40lb/1000ft2": false, "0.5lb/1000ft2": false, "25g/m2": false} {
		s := SeedFlags{rate: Quantity{units: rateUnits}}
		if err := s.rate.Set(rate); err != nil {
			t.Fatal(err)
		}
		if err := s.checkRate(); (err != nil) != refused {
			t.Errorf("%s: %v", rate, err)
		}
	}
}

// rows is a record of two years with a course of the year, in °C.
func rows(first climate.Day, n int, latitude string) string {
	var b strings.Builder
	if latitude != "" {
		latitude = "," + latitude
		fmt.Fprintln(&b, "date,tmax_c,tmin_c,latitude")
	} else {
		fmt.Fprintln(&b, "date,tmax_c,tmin_c")
	}
	warm := climate.Date(2000, time.July, 20)
	for d := first; d < first+climate.Day(n); d++ {
		noise := float64((int(d)*7919)%13) / 4
		mean := 15 - 10*float64(abs((int(d-warm)%365+365)%365-182)-91)/-91 + noise
		fmt.Fprintf(&b, "%s,%.1f,%.1f%s\n", d, mean+5, mean-5-noise/2, latitude)
	}
	return b.String()
}

func abs(n int) int { return max(n, -n) }

// A coordinate that a flag gives over that of the file is said; a rounding is not. An
// impossible course is refused, a latitude that does not fit doubted.
func TestPlacesOverridden(t *testing.T) {
	first := climate.Date(2020, time.January, 1)
	for _, c := range []struct {
		file    string
		flag    float64
		say     string
		refused bool
	}{
		{"33.8", 33.8, "", false}, {"33.8", 33.84, "", false},
		{"33.8", 40, "The latitude used is 40, as given; the file says 33.8.", false},
		{"33.8", 5, "Is latitude 5 right?", false},
	} {
		how := Reading{Invented: true, Place: func(p *climate.Place) { p.Latitude = &c.flag }}
		in, err := Read(strings.NewReader(rows(first, 1000, c.file)), "x.csv", how)
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Join(in.File.Cautions, "\n")
		if !strings.Contains(all, c.say) || c.say == "" && all != "" || (in.Refusal() != nil) != c.refused {
			t.Errorf("%s, %g: %q, %v", c.file, c.flag, all, in.Refusal())
		}
	}
	latitude := 33.8
	how := Reading{Invented: true, Place: func(p *climate.Place) { p.Latitude = &latitude }}
	text := rows(first, 1000, "")
	for i := range 1000 { // dates three months late
		day := first + climate.Day(i)
		text = strings.Replace(text, "\n"+day.String(), "\n@"+(day+91).String(), 1)
	}
	in, err := Read(bytes.NewReader([]byte(strings.ReplaceAll(text, "@", ""))), "x.csv", how)
	if err != nil || in.Refusal() == nil || !strings.Contains(in.Refusal().Error(), "the dates do not fit the latitude") {
		t.Errorf("%v, %v", err, in.Refusal())
	}
}
