package main

import (
	"bytes"
	"fmt"
	"go/format"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"swardcast/forecast/soil"
)

// report prints the tables of docs/validation.md.
func report(w io.Writer, stations []*station, chosen *verdict, res [2]residuals, shares []float64) error {
	fmt.Fprintf(
		w,
		"%d stations. Error at a station that the fit had not seen, nor any within %d km: root mean square over "+
			"the days of a station, mean over stations, °C. The columns “more” give by how much a form's error exceeds that of "+
			"the form in use at the same station, with the standard error of its mean.\n\n",
		len(stations),
		neighbourKM,
	)
	fmt.Fprintln(w, "| form | columns | Aug–Nov 5 cm | more | 10 cm | more | Jul–Apr 5 cm | 10 cm |"+
		" year 5 cm | 10 cm | condition |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for i := range variants {
		v := chosen
		if i != chosenVariant {
			var err error
			if v, err = judge(stations, variants[i]); err != nil {
				return err
			}
		}
		fmt.Fprintf(w, "| %s | %d |", v.name, v.final[0].Len())
		for k := range spans {
			for d := range depths {
				fmt.Fprintf(w, " %.3f |", meanRMSE(v.scores[d][k]))
				switch {
				case k > 0:
				case v == chosen:
					fmt.Fprint(w, " |")
				default:
					mean, sd := more(v.scores[d][k], chosen.scores[d][k])
					fmt.Fprintf(w, " %+.3f ± %.3f |", mean, sd)
				}
			}
		}
		fmt.Fprintf(w, " %.0f |\n", v.condition[0])
	}

	fmt.Fprintln(
		w,
		"\nThe form in use, by station, August to November: root mean square, mean (observed less estimated) and standard deviation of the error, °C.",
	)
	fmt.Fprintln(w, "\n| station | 5 cm rms | mean | sd | 10 cm rms | mean | sd |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- |")
	for i, s := range stations {
		a, b := chosen.scores[0][0][i], chosen.scores[1][0][i]
		fmt.Fprintf(
			w,
			"| %s | %.2f | %+.2f | %.2f | %.2f | %+.2f | %.2f |\n",
			s.name,
			a.rmse,
			a.bias,
			a.sd,
			b.rmse,
			b.bias,
			b.sd,
		)
	}
	for d := range depths {
		var rmse, bias, sd []float64
		for _, s := range chosen.scores[d][0] {
			rmse, bias, sd = append(rmse, s.rmse), append(bias, s.bias), append(sd, s.sd)
		}
		slices.Sort(rmse)
		fmt.Fprintf(
			w,
			"\n%d cm: mean %.3f, median %.3f, worst %.2f, standard error of the mean %.3f; mean sd within a station %.2f, sd of the station means %.2f.\n",
			depths[d],
			stat.Mean(rmse, nil),
			rmse[len(rmse)/2],
			rmse[len(rmse)-1],
			stat.StdDev(rmse, nil)/math.Sqrt(float64(len(rmse))),
			stat.Mean(sd, nil),
			stat.StdDev(bias, nil),
		)
	}

	if err := thirds(w, stations, chosen); err != nil {
		return err
	}

	fmt.Fprintln(w, "\nThe error taken apart, °C:")
	fmt.Fprintln(
		w,
		"\n| depth | season sd | day sd | correlation of days 1, 2, 3, 5, 7, 10, 14, 20, 30 apart | slow share, days, fast days |",
	)
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- |")
	for d := range depths {
		r := &res[d]
		fmt.Fprintf(w, "| %d cm | %.2f | %.2f |", depths[d], r.SeasonSD, r.DaySD)
		for _, c := range r.correlation {
			fmt.Fprintf(w, " %.2f", c)
		}
		fmt.Fprintf(w, " | %.2f, %.0f, %.2f |\n", r.Slow, r.SlowDays, r.FastDays)
	}
	fmt.Fprintln(w, "\n| site sd by month | Jan | Feb | Mar | Apr | May | Jun | Jul | Aug | Sep | Oct | Nov | Dec |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for d := range depths {
		fmt.Fprintf(w, "| %d cm |", depths[d])
		for _, sd := range res[d].SiteSD {
			fmt.Fprintf(w, " %.2f |", sd)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintf(
		w,
		"\nThree patterns over the months hold %.0f, %.0f and %.0f %% of the variance between sites.\n",
		100*shares[0],
		100*shares[1],
		100*shares[2],
	)
	return nil
}

// more returns the mean over stations by which the root mean square error of one
// form exceeds that of another, and its standard error.
func more(a, b []score) (mean, se float64) {
	var d []float64
	for i := range a {
		d = append(d, a[i].rmse-b[i].rmse)
	}
	return stat.Mean(d, nil), stat.StdDev(d, nil) / math.Sqrt(float64(len(d)))
}

func meanRMSE(scores []score) float64 {
	sum := 0.0
	for _, s := range scores {
		sum += s.rmse
	}
	return sum / float64(len(scores))
}

// thirds shows how far a single split into two thirds to fit and one to judge
// on depends on which stations fall where.
func thirds(w io.Writer, stations []*station, chosen *verdict) error {
	const splits = 300
	plain, err := judge(stations, variant{name: "basis", columns: basis, weight: autumnOnly})
	if err != nil {
		return err
	}
	fmt.Fprintf(
		w,
		"\n%d random splits, two thirds to fit, one to judge on, August to November, 5 cm (2.5 %%, mean, 97.5 %%):",
		splits,
	)
	for _, v := range []*verdict{chosen, plain} {
		random := rand.New(rand.NewPCG(1, 2))
		var means []float64
		for range splits {
			order := random.Perm(len(stations))
			judged := order[:len(order)/3]
			b, _, err := solve(v.fit[0], v.ridge, func(i int) bool { return !slices.Contains(judged, i) })
			if err != nil {
				return err
			}
			sum := 0.0
			for _, si := range judged {
				rmse, _, _ := v.judged[0][0][si].error(b)
				sum += rmse
			}
			means = append(means, sum/float64(len(judged)))
		}
		slices.Sort(means)
		name := "the form in use"
		if v == plain {
			name = "the basis fitted to August–November"
		}
		fmt.Fprintf(
			w,
			" %s %.2f, %.2f, %.2f;",
			name,
			means[splits/40],
			stat.Mean(means, nil),
			means[splits-1-splits/40],
		)
	}
	fmt.Fprintln(w)
	return nil
}

// source is the Go file of the coefficients.
func source(stations []*station, v *verdict, res [2]residuals, patterns [sitePatterns][12]float64) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `// Code generated by cmd/fitsoil; DO NOT EDIT.

package soil

// turf is the model of soil under grass.
//
// How it came about: ordinary least squares over every day of the year with a
// sensor, each station weighing the same, on the %d stations of the US Climate
// Reference Network with over 600 mm of rain a year that lie outside the
// mountains or have a marine climate, to April 2024 (Diamond et al. 2013, Bull.
// Amer. Meteor. Soc. 94:485-498; Bell et al. 2013, J. Hydrometeorol. 14:977-988;
// US government, public domain), by
//
//	go run ./cmd/fitsoil --data DIR --write forecast/soil/coefficients_gen.go
//
// At stations left out, August to November, the mean root mean square error is
// %.2f °C at 5 cm and %.2f °C at 10 cm.
var turf = Model{
`, len(stations), meanRMSE(v.scores[0][0]), meanRMSE(v.scores[1][0]))
	for d, name := range []string{"Coef5", "Coef10"} {
		fmt.Fprintf(&b, "%s: Row{\n", name)
		for k, term := range soil.Terms() {
			fmt.Fprintf(&b, "%.6g, // %s\n", v.final[d].AtVec(k), term)
		}
		fmt.Fprintln(&b, "},")
	}
	fmt.Fprint(
		&b,
		"}\n\n// residual5 and residual10 are the errors of the estimate at 5 and 10 cm, seen\n// at the stations each left out of the fit in turn.\nvar (\n",
	)
	for d, name := range []string{"residual5", "residual10"} {
		r := &res[d]
		fmt.Fprintf(&b, "%s = Residual{\nSiteSD: [12]float64{", name)
		for _, sd := range r.SiteSD {
			fmt.Fprintf(&b, "%.2f, ", sd)
		}
		fmt.Fprintf(
			&b,
			"},\nSeasonSD: %.2f,\nDaySD: %.2f,\nSlow: %.2f,\nSlowDays: %g,\nFastDays: %g,\n}\n",
			r.SeasonSD,
			r.DaySD,
			r.Slow,
			r.SlowDays,
			r.FastDays,
		)
	}
	fmt.Fprint(
		&b,
		")\n\n// sitePatterns are how the error of a site runs over the months, January first,\n// °C: the principal components of the stations' monthly errors times their\n// standard deviations.\n",
	)
	fmt.Fprintf(&b, "var sitePatterns = [%d][12]float64{\n", len(patterns))
	for _, p := range patterns {
		fmt.Fprint(&b, "{")
		for _, v := range p {
			fmt.Fprintf(&b, "%.3f, ", v)
		}
		fmt.Fprintln(&b, "},")
	}
	fmt.Fprintln(&b, "}")
	out, err := format.Source(b.Bytes())
	if err != nil {
		panic("fitsoil: " + err.Error())
	}
	return out
}
