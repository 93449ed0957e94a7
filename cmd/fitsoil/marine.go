package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// marineVariants are forms that differ in how far the day-to-day variability of
// calm marine air counts.
var marineVariants = []variant{
	{name: "**the form in use**", columns: inUse},
	{name: "in use, without day-to-day variability", columns: without(10)},
	{name: "in use, variability without limits", columns: variabilityWithin(0, math.Inf(1))},
	{name: "in use, variability from 2.8 °C", columns: variabilityWithin(2.8, 4.6)},
	{name: "in use, variability from 3.2 °C", columns: variabilityWithin(3.2, 4.6)},
	{name: "in use, variability from 3.8 °C", columns: variabilityWithin(3.8, 4.6)},
}

// marineReport shows how forms do at the marine stations: each left out of the
// fit, all of them left out together, and at other marine stations that no form
// was ever fitted to.
func marineReport(w io.Writer, stations, judged []*station) error {
	var ours []int
	for i, s := range stations {
		if s.marine {
			ours = append(ours, i)
		}
	}
	var names []string
	for _, i := range ours {
		names = append(names, stations[i].name)
	}
	fmt.Fprintf(
		w,
		"\nMarine stations, August to November: mean over stations of the root mean square error and of the "+
			"mean error (observed less estimated), °C. %s, each left out of the fit in turn, and all left out at once. "+
			"\"Judged only\" are %d stations that no form was fitted to: by the fit to all others, and by that without any "+
			"marine station.\n",
		strings.Join(names, ", "),
		len(judged),
	)
	fmt.Fprintln(w, "\n| form | each left out 5 cm | mean | 10 cm | mean | all left out 5 cm | mean | 10 cm | mean |"+
		" judged only 10 cm | mean | by no marine station 10 cm | mean |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	var chosen *verdict
	for _, form := range marineVariants {
		v, err := judge(stations, form)
		if err != nil {
			return err
		}
		if chosen == nil {
			chosen = v
		}
		var inland [2]*mat.VecDense // coefficients without any marine station
		for d := range depths {
			if inland[d], _, err = solve(v.fit[d], v.ridge,
				func(i int) bool { return !stations[i].marine }); err != nil {
				return err
			}
		}
		fmt.Fprintf(w, "| %s |", v.name)
		for d := range depths {
			var each []score
			for _, i := range ours {
				each = append(each, v.scores[d][0][i])
			}
			printMean(w, each)
		}
		for d := range depths {
			var all []score
			for _, i := range ours {
				all = append(all, scoreOf(v.judged[d][0][i], inland[d]))
			}
			printMean(w, all)
		}
		for _, b := range []*mat.VecDense{v.final[1], inland[1]} {
			var scores []score
			for _, s := range judged {
				scores = append(scores, scoreOf(momentsOf(s, v, 1, inAutumn), b))
			}
			printMean(w, scores)
		}
		fmt.Fprintln(w)
	}
	if len(judged) == 0 {
		return nil
	}
	fmt.Fprintln(
		w,
		"\nThe form in use at the stations judged only, 10 cm: root mean square, mean and standard deviation "+
			"of the error, °C.",
	)
	fmt.Fprintln(w, "\n| station | variability | Aug–Nov rms | mean | sd | year rms | mean | sd |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- |")
	var autumn, year []score
	for _, s := range judged {
		a := scoreOf(momentsOf(s, chosen, 1, inAutumn), chosen.final[1])
		y := scoreOf(momentsOf(s, chosen, 1, spans[2].has), chosen.final[1])
		autumn, year = append(autumn, a), append(year, y)
		fmt.Fprintf(w, "| %s | %.1f | %.2f | %+.2f | %.2f | %.2f | %+.2f | %.2f |\n",
			s.name, s.mean.variability, a.rmse, a.bias, a.sd, y.rmse, y.bias, y.sd)
	}
	for i, scores := range [][]score{autumn, year} {
		var rmse, bias []float64
		for _, s := range scores {
			rmse, bias = append(rmse, s.rmse), append(bias, s.bias)
		}
		fmt.Fprintf(
			w,
			"\n%s: mean %.2f; station means %+.2f with an sd of %.2f.\n",
			[]string{"August to November", "The year"}[i],
			stat.Mean(rmse, nil),
			stat.Mean(bias, nil),
			stat.StdDev(bias, nil),
		)
	}
	return nil
}

// momentsOf are the moments of a station that is not fitted, over the days of
// the months given that have a sensor's value.
func momentsOf(s *station, v *verdict, depth int, has func(time.Month) bool) *moments {
	m := newMoments(v.final[depth].Len())
	for i, y := range s.observed[depth] {
		if !math.IsNaN(y) && s.days[i].usable && has(s.days[i].month) {
			m.add(v.columns(s, i), y, 1)
		}
	}
	m.finish()
	return m
}

func scoreOf(m *moments, b mat.Vector) score {
	rmse, bias, sd := m.error(b)
	return score{rmse, bias, sd}
}

// printMean prints the mean root mean square error and the mean error of
// stations, or blanks for none.
func printMean(w io.Writer, scores []score) {
	if len(scores) == 0 {
		fmt.Fprint(w, " | |")
		return
	}
	bias := 0.0
	for _, s := range scores {
		bias += s.bias / float64(len(scores))
	}
	fmt.Fprintf(w, " %.2f | %+.2f |", meanRMSE(scores), bias)
}
