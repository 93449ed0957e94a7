package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast/soil"
)

const (
	neighbourKM = 60 // stations so near share their weather and are left out together
	ownDays     = 90 // of a record, until the soil's averages are of its own weather
)

// leftOut returns the soil at 5 and 10 cm of every station as the model in use
// estimates it when fitted to the others, neighbours left out too: as cmd/fitsoil
// does.
func leftOut(stations []*sensors.Station) ([]*soil.Curve, error) {
	type equations struct {
		xx *mat.SymDense
		xy *mat.VecDense
	}
	rows := make([][]soil.Row, len(stations))
	fits := make([][2]equations, len(stations))
	for si, s := range stations {
		air, filled, err := climate.Fill(s.Record)
		if err != nil {
			return nil, err
		}
		if rows[si], err = soil.Design(air, func(i int) bool { return !filled[i] }); err != nil {
			return nil, err
		}
		for d, observed := range [2][]float64{s.Soil5C, s.Soil10C} {
			e := equations{mat.NewSymDense(soil.Columns, nil), mat.NewVecDense(soil.Columns, nil)}
			n := 0.0
			for i, y := range observed {
				if !math.IsNaN(y) && !filled[i] && i >= ownDays {
					x := mat.NewVecDense(soil.Columns, rows[si][i][:])
					e.xx.SymRankOne(e.xx, 1, x)
					e.xy.AddScaledVec(e.xy, y, x)
					n++
				}
			}
			// Every station weighs the same.
			e.xx.ScaleSym(1/n, e.xx)
			e.xy.ScaleVec(1/n, e.xy)
			fits[si][d] = e
		}
	}
	var out []*soil.Curve
	for si, s := range stations {
		n := len(rows[si])
		curve := &soil.Curve{First: s.Record.First, Soil5C: make([]float64, n), Soil10C: make([]float64, n)}
		for d, to := range [2][]float64{curve.Soil5C, curve.Soil10C} {
			xx, xy := mat.NewSymDense(soil.Columns, nil), mat.NewVecDense(soil.Columns, nil)
			for j := range stations {
				if j != si && !neighbours(s, stations[j]) {
					xx.AddSym(xx, fits[j][d].xx)
					xy.AddVec(xy, fits[j][d].xy)
				}
			}
			var chol mat.Cholesky
			var b mat.VecDense
			if !chol.Factorize(xx) {
				return nil, fmt.Errorf("without %s: the columns depend on each other", s.Name)
			}
			if err := chol.SolveVecTo(&b, xy); err != nil {
				return nil, err
			}
			for i := range to {
				to[i] = mat.Dot(&b, mat.NewVecDense(soil.Columns, rows[si][i][:]))
			}
		}
		out = append(out, curve)
	}
	return out, nil
}

func neighbours(a, b *sensors.Station) bool {
	const kmPerDegree = 111.2
	p, q := a.Record.Place, b.Record.Place
	north := (*p.Latitude - *q.Latitude) * kmPerDegree
	east := (*p.Longitude - *q.Longitude) * kmPerDegree * math.Cos((*p.Latitude+*q.Latitude)/2*math.Pi/180)
	return math.Hypot(north, east) < neighbourKM
}
