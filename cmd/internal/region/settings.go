package region

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// settings says what the answers are based on, as one text of every row: an output that
// is resumed, or put together, must not mix them.
func settings(options []forecast.Options, reading *ask.StationFlags, sow *ask.Date) string {
	o := &options[0]
	number := func(v float64) string { s, _ := words.Number(v).MarshalCSV(); return s }
	freeze := float64(turf.KillingFreezeC)
	if o.FreezeC != nil {
		freeze = *o.FreezeC
	}
	s := fmt.Sprintf(
		"host=%s stage=%s cutoff_rule=%s freeze_c=%s open%d_c=%s dormancy%d_c=%s completeness=%s trend_rule=%s confidence=%s",
		o.Host.ID, o.Stage, o.Cutoff, number(freeze), o.Host.Open.Depth, number(o.Host.Open.TempC),
		o.Host.Dormancy.Depth, number(o.Host.Dormancy.TempC), o.Completeness.Name, o.Trend,
		fmt.Sprintf("%.10g", o.Confidence/100))
	if o.Opening != "" {
		s += " opening=" + string(o.Opening)
	}
	if o.FirstSeason != 0 {
		s += fmt.Sprintf(" years=%d-%d", o.FirstSeason, o.LastSeason)
	}
	if o.Season != 0 {
		s += fmt.Sprintf(" season=%d", o.Season)
	}
	if reading.AsOf.Given {
		s += " as_of=" + reading.AsOf.Day.String()
	}
	switch {
	case sow.Given && sow.HasYear():
		s += " sow=" + sow.Day.String()
	case sow.Given:
		s += " sow=" + sow.AnyYear().Format("01-02")
	}
	if o.Unwatered {
		s += " unwatered"
	}
	if reading.Unit.Value != string(recordfile.Auto) {
		s += " temp_unit=" + reading.Unit.Value
	}
	if reading.RainUnit.Value != string(recordfile.RainAuto) {
		s += " rain_unit=" + reading.RainUnit.Value
	}
	if reading.DateOrder.Value != string(recordfile.DateAuto) {
		s += " date_order=" + reading.DateOrder.Value
	}
	for _, k := range slices.Sorted(maps.Keys(reading.Columns)) {
		s += fmt.Sprintf(" %s=%q", k, reading.Columns[k])
	}
	for _, o := range options {
		if built, ok := turf.Find(o.Species.ID); !ok || built != o.Species {
			s += fmt.Sprintf(" %s=%s", o.Species.ID, digest(&o.Species))
		}
	}
	return s
}

// digest identifies a species whose figures are the user's own.
func digest(sp *turf.Species) string {
	h := sha256.New()
	fmt.Fprintf(h, "%q\n", sp.Name)
	for _, p := range sp.Parameters() {
		fmt.Fprintf(h, "%s=%v %q %q\n", p.Key, p.Value, p.Evidence, p.Source)
	}
	return fmt.Sprintf("%x", h.Sum(nil)[:4])
}
