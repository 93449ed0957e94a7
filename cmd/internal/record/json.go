package record

import (
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

type recordJSON struct {
	Schema     string             `json:"schema"`
	Verdict    string             `json:"verdict"`
	Words      string             `json:"reason"`
	Fix        string             `json:"fix"`
	Station    report.StationJSON `json:"station"`
	Days       int                `json:"day_count"`
	Missing    int                `json:"missing_day_count"`
	Understood understoodJSON     `json:"understood"`
	FirstDays  []dayJSON          `json:"first_days"`
	Months     []monthJSON        `json:"months"`
	Suspect    []suspectJSON      `json:"suspect_values"`
	Tests      []testJSON         `json:"tests"`
}

type understoodJSON struct {
	Layout   string       `json:"layout"`
	Columns  []columnJSON `json:"columns"`
	Dates    string       `json:"date_form"`
	Unit     string       `json:"temp_unit"`
	Reason   string       `json:"temp_unit_reason"`
	RainUnit string       `json:"rain_unit,omitempty"`
	Rain     string       `json:"rain_unit_reason,omitempty"`
	Rows     int          `json:"row_count"`
	Flagged  int          `json:"flagged_value_count"`
	Short    int          `json:"short_row_count"`
	Repeated int          `json:"repeated_row_count"`
	Skipped  []skipJSON   `json:"skipped_rows"`
	Notes    []string     `json:"notes"`
}

type skipJSON struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

type dayJSON struct {
	Date climate.Day  `json:"date"`
	TMax words.Number `json:"tmax_c"`
	TMin words.Number `json:"tmin_c"`
	Rain words.Number `json:"prcp_mm"`
}

type columnJSON struct {
	Number  int    `json:"number"`
	Header  string `json:"header"`
	Meaning string `json:"meaning"`
}

type monthJSON struct {
	Month    string `json:"month"`
	Days     int    `json:"day_count"`
	Missing  int    `json:"missing_day_count"`
	Complete bool   `json:"complete"`
}

type suspectJSON struct {
	Test   string      `json:"test"`
	Series string      `json:"series"`
	First  climate.Day `json:"first_date"`
	Last   climate.Day `json:"last_date"`
	Values int         `json:"value_count"`
	Reason string      `json:"reason"`
}

type testJSON struct {
	Name      string `json:"name"`
	Reference string `json:"reference"`
	Values    int    `json:"value_count"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	in, f := a.In, a.In.File
	out := recordJSON{
		Schema: "swardcast.record/2", Verdict: string(a.Verdict), Words: a.Reason, Fix: a.Fix,
		Station: report.Station(in, a.windows()...), Days: in.Checked.Len(), Missing: a.Missing,
		Understood: understoodJSON{Layout: f.Layout, Columns: []columnJSON{}, Dates: f.Dates,
			Unit: string(f.Unit), Reason: f.UnitReason, RainUnit: f.PrecipUnit, Rain: f.PrecipReason,
			Rows: f.Rows, Flagged: f.Flagged, Short: f.Short, Repeated: f.Repeated,
			Skipped: []skipJSON{}, Notes: slices.Concat([]string{}, a.Notes)},
		Suspect: []suspectJSON{}, FirstDays: []dayJSON{},
	}
	for _, s := range f.Skipped {
		out.Understood.Skipped = append(out.Understood.Skipped, skipJSON{s.Line, s.Text})
	}
	rec := f.Record
	for i := range min(firstDays, rec.Len()) {
		d := dayJSON{rec.Day(i), words.Number(rec.TMaxC[i]), words.Number(rec.TMinC[i]), words.Number(math.NaN())}
		if rec.PrecipMM != nil {
			d.Rain = words.Number(rec.PrecipMM[i])
		}
		out.FirstDays = append(out.FirstDays, d)
	}
	for _, c := range f.Columns {
		out.Understood.Columns = append(out.Understood.Columns, columnJSON{c.Number, c.Header, c.Meaning})
	}
	for _, m := range a.Months {
		out.Months = append(
			out.Months,
			monthJSON{fmt.Sprintf("%04d-%02d", m.Year, m.Month), m.Days, m.Missing, m.Complete},
		)
	}
	values := map[string]int{} // by test
	for _, d := range in.Suspect {
		out.Suspect = append(out.Suspect, suspectJSON{d.Test, string(d.Series), d.First, d.Last, d.Values, d.Reason})
		values[d.Test] += d.Values
	}
	for _, t := range check.Tests() {
		out.Tests = append(out.Tests, testJSON{t.Name, t.Reference, values[t.Name]})
	}
	return out
}
