package forecast_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"testing"

	"swardcast/climate"
	"swardcast/climate/recordstest"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// latitudes are those of the real records, by station.
func latitudes(t *testing.T) map[string]float64 {
	t.Helper()
	f, err := os.Open(recordstest.Path(t, "soil", "stations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	name, latitude := slices.Index(rows[0], "station"), slices.Index(rows[0], "latitude")
	out := map[string]float64{}
	for _, r := range rows[1:] {
		if out[r[name]], err = strconv.ParseFloat(r[latitude], 64); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// An aim ends where the chance begins to fall noticeably: at the real stations the
// week after it costs more than the week before it, and more than ten points, in nine
// of ten. The limits were set when the medians, which docs/method.md has, were known:
// they guard the definition.
func TestAimEndsWhereTheChanceFalls(t *testing.T) {
	if testing.Short() {
		t.Skip("reads every record")
	}
	var before, after []float64
	faster, much := 0, 0
	for name, latitude := range latitudes(t) {
		s := realStation(t, name, latitude)
		for _, c := range []struct{ species, host string }{{"perennial-ryegrass", "bermudagrass"}, {"tall-fescue", "none"}} {
			species, _ := turf.Find(c.species)
			host, _ := turf.FindHost(c.host)
			w, err := s.Window(forecast.Options{Species: species, Host: host})
			if err != nil {
				t.Fatal(name, err)
			}
			_, killed := w.Has(forecast.WarnHostWinter)
			_, mild := w.Has(forecast.WarnAfterWinter)
			mild = mild || !w.ColdEnds()
			if w.Aim == nil || killed || mild {
				continue
			}
			at := func(d climate.Day) float64 { return w.ByDate[max(0, d-w.ByDate[0].Sow)].Chance }
			b, a := at(w.Aim.Until-7)-w.Aim.Chance, w.Aim.Chance-at(w.Aim.Until+7)
			before, after = append(before, b), append(after, a)
			if a > b {
				faster++
			}
			if a > 0.1 {
				much++
			}
		}
	}
	slices.Sort(before)
	slices.Sort(after)
	n := len(after)
	t.Logf(
		"%d windows: a week costs %.2f before the end of the aim and %.2f after it (medians, %.2f to %.2f in 8 of 10); faster in %d, over ten points in %d",
		n,
		climate.Quantile(0.5, before),
		climate.Quantile(0.5, after),
		climate.Quantile(0.1, after),
		climate.Quantile(0.9, after),
		faster,
		much,
	)
	if 10*faster < 9*n || 10*much < 9*n {
		t.Errorf("the chance falls faster after the aim in %d of %d, by over ten points in %d", faster, n, much)
	}
}

// Hosts are warned of where they are not kept, and not where they are. Bermudagrass is
// the usual overseeded turf of Georgia, Louisiana, Oklahoma, Texas and North Carolina's
// piedmont, and cool-season lawns alone are usual in Minnesota, North Dakota and
// northern Illinois (common practice, no source).
func TestHostsWhereTheyAreKept(t *testing.T) {
	all := latitudes(t)
	for name, want := range map[string]bool{
		"GA_Watkinsville_5_SSE": false, "LA_Monroe_26_N": false, "OK_Stillwater_5_WNW": false, "TX_Palestine_6_WNW": false,
		"KS_Manhattan_6_SSW": false, "KY_Bowling_Green_21_NNE": false,
		"MN_Sandstone_6_W": true, "ND_Jamestown_38_WSW": true, "IL_Shabbona_5_NNE": true, "IA_Des_Moines_17_E": true,
	} {
		s := realStation(t, name, all[name])
		w, err := s.Dates(forecast.Options{})
		if err != nil {
			t.Fatal(err)
		}
		x, got := w.Has(forecast.WarnHostWinter)
		if _, mean, _ := s.ColdestMonth(); got != want {
			t.Errorf("%s: coldest month %.1f °C, warned: %t (%+v)", name, mean, got, x)
		}
	}
}
