package main

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"swardcast/climate/recordstest"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast/soil"
)

// The coefficients in package soil are what this program fits, and the errors
// at stations left out what docs/validation.md says.
func TestCoefficients(t *testing.T) {
	stations, err := load(recordstest.Path(t, "soil"), sensors.Turf)
	if err != nil {
		t.Fatal(err)
	}
	v, err := judge(stations, variants[chosenVariant])
	if err != nil {
		t.Fatal(err)
	}
	for d, c := range []soil.Row{soil.Turf().Coef5, soil.Turf().Coef10} {
		for k, got := range c {
			if want := v.final[d].AtVec(k); math.Abs(got-want) > 1e-5*math.Max(1, math.Abs(want)) {
				t.Errorf("%d cm, %s: %g in package soil, %g fitted", depths[d], soil.Terms()[k], got, want)
			}
		}
	}
	// What was measured. The target, 1.10 °C, is missed; the sensors of
	// neighbouring stations under one weather differ by as much.
	for d, most := range []float64{1.226, 1.17} {
		if got := meanRMSE(v.scores[d][0]); got > most {
			t.Errorf("%d cm: %.3f °C at stations left out, August to November, documented %.3f", depths[d], got, most)
		}
	}
}

// Marine stations that the model was never fitted to: ten of Met Éireann, 10 cm,
// August to November. The limits are what was found, rounded up; nothing was
// tuned to them. With the variability counting from 2.8 °C and no station of
// Washington in the fit the bias was −0.95 °C.
func TestMarineStations(t *testing.T) {
	stations, err := load(recordstest.Path(t, "marine"), nil)
	if err != nil {
		t.Fatal(err)
	}
	model := soil.Turf()
	b := mat.NewVecDense(soil.Columns, model.Coef10[:])
	v := &verdict{variant: variants[chosenVariant], final: [2]*mat.VecDense{b, b}}
	bias, rmse := 0.0, 0.0
	for _, s := range stations {
		sc := scoreOf(momentsOf(s, v, 1, inAutumn), b)
		bias += sc.bias / float64(len(stations))
		rmse += sc.rmse / float64(len(stations))
		if math.Abs(sc.bias) > 0.5 {
			t.Errorf("%s: the soil is %+.2f °C off on average", s.name, sc.bias)
		}
	}
	if math.Abs(bias) > 0.1 || rmse > 0.98 {
		t.Errorf("%d stations: mean error %+.3f °C, root mean square %.3f, documented +0.08 and 0.97",
			len(stations), bias, rmse)
	}
}

// solve is weighted least squares: checked on a plane that the columns span.
func TestSolveFindsThePlane(t *testing.T) {
	a, b := newMoments(3), newMoments(3)
	for i := range 60 {
		x := []float64{1, math.Sin(float64(i)), math.Cos(float64(3 * i))}
		y := 2 - 3*x[1] + 0.5*x[2]
		if i < 20 {
			a.add(x, y, 1)
		} else {
			b.add(x, y, 2)
		}
	}
	a.finish()
	b.finish()
	c, condition, err := solve([]*moments{a, b}, 0, func(int) bool { return true })
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{2, -3, 0.5} {
		if math.Abs(c.AtVec(k)-want) > 1e-9 {
			t.Errorf("coefficient %d: %g, want %g", k, c.AtVec(k), want)
		}
	}
	if !(condition >= 1 && condition < 3) {
		t.Errorf("condition of two nearly independent columns: %g", condition)
	}
	if rmse, bias, sd := b.error(mat.NewVecDense(3, []float64{3, -3, 0.5})); math.Abs(rmse-1) > 1e-9 ||
		math.Abs(bias+1) > 1e-9 ||
		sd > 1e-6 {
		t.Errorf("a constant error of 1: rmse %g, bias %g, sd %g", rmse, bias, sd)
	}
}

// The tables of docs/validation.md are what this program prints.
func TestReport(t *testing.T) {
	if os.Getenv("SWARDCAST_VALIDATE") == "" && os.Getenv("UPDATE_DOCS") == "" {
		t.Skip("SWARDCAST_VALIDATE is not set: it takes a minute")
	}
	var out bytes.Buffer
	if err := run(&out, recordstest.Path(t, "soil"), recordstest.Path(t, "marine"), ""); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../docs/validation.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "<!-- fitsoil prints from here -->\n\n")
	table, _, ok := strings.Cut(rest, "\n<!-- to here -->")
	if !ok || table != out.String() {
		t.Error("docs/validation.md does not hold what fitsoil prints")
	}
}
