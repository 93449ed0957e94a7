package report

import (
	"fmt"
	"math"
	"slices"

	"swardcast/forecast/surface"
)

// A MatrixSurface is the last safe dates of a species between the places of a hemisphere.
type MatrixSurface struct {
	Skill   surface.Skill
	BlankKM float64 // farther from every place there is no date

	drawn *surface.Surface
}

// maxSurfacePlaces is the most places that a surface is drawn between: more cover the map.
const maxSurfacePlaces = 300

// Surface draws the dates of a species, with −1 those of the species to choose at each place.
// It is nil where the places are too few, or too many to need it; Skill says whether it is
// worth showing.
func (m *Matrix) Surface(species int, south bool) *MatrixSurface {
	var sites []surface.Site
	for i := range m.Places {
		p := &m.Places[i]
		if p.Cells == nil || p.South != south || math.IsNaN(p.Latitude) || math.IsNaN(p.Longitude) {
			continue
		}
		k := species
		if k < 0 {
			k = m.Best(p)
		}
		if k >= 0 && p.Cells[k].State == Dated {
			sites = append(sites, surface.Site{Latitude: p.Latitude, Longitude: p.Longitude, ElevationM: p.ElevationM,
				Value: float64(p.Cells[k].Safe)})
		}
	}
	if len(sites) > maxSurfacePlaces {
		return nil
	}
	s, err := surface.Fit(sites)
	if err != nil {
		return nil
	}
	x := &MatrixSurface{drawn: s}
	if x.Skill, err = s.Skill(); err != nil {
		return nil
	}
	x.BlankKM = math.Max(50, 2*x.Skill.NearestKM)
	return x
}

// Date is the last safe date at a place, in days of the season; ok is false too far from every
// place.
func (x *MatrixSurface) Date(latitude, longitude float64) (day float64, ok bool) {
	if x.drawn.NearestKM(latitude, longitude) > x.BlankKM {
		return 0, false
	}
	v, err := x.drawn.Value(latitude, longitude, math.NaN())
	return v, err == nil
}

// Text says how far the surface is off.
func (x *MatrixSurface) Text() string {
	if !x.Skill.Better {
		return fmt.Sprintf("No dates are drawn between the places: at places left out they would be off by %s on "+
			"average, the nearest place's date by %s.", days(x.Skill.Surface), days(x.Skill.Nearest))
	}
	trend := "latitude"
	if x.drawn.Elevation {
		trend = "latitude and elevation"
	}
	return fmt.Sprintf("Between the places the dates are drawn from %s and the places around. At places left out they "+
		"were off by %s on average, the nearest place's date by %s. Blank: too far from any place.", trend,
		days(x.Skill.Surface), days(x.Skill.Nearest))
}

func days(v float64) string { return fmt.Sprintf("%.1f days", v) }

// An IsoLine is where the last safe date is one day: pieces of lines, longitude and latitude.
type IsoLine struct {
	Day    int16
	Pieces [][][2]float64
}

// isoCells is how many cells the longer side of the extent has, for lines of equal date.
const isoCells = 80

// Lines are the lines of equal date of a surface at the days where steps begin.
func (x *MatrixSurface) Lines(steps []MatrixStep, points [][2]float64) []IsoLine {
	low, high := points[0], points[0]
	for _, p := range points {
		for k := range p {
			low[k], high[k] = math.Min(low[k], p[k]), math.Max(high[k], p[k])
		}
	}
	cell := math.Max(high[0]-low[0], high[1]-low[1]) / isoCells
	if cell == 0 {
		return nil
	}
	wide, tall := int((high[0]-low[0])/cell)+2, int((high[1]-low[1])/cell)+2
	at := func(i, j int) [2]float64 { return [2]float64{low[0] + float64(i)*cell, low[1] + float64(j)*cell} }
	v := make([]float64, wide*tall)
	for j := range tall {
		for i := range wide {
			p := at(i, j)
			day, ok := x.Date(p[1], p[0])
			if !ok {
				day = math.NaN()
			}
			v[j*wide+i] = day
		}
	}
	var list []IsoLine
	for _, s := range steps[min(1, len(steps)):] {
		line := IsoLine{Day: s.From}
		var ends [][2][2]float64
		for j := range tall - 1 {
			for i := range wide - 1 {
				corners := [4]float64{v[j*wide+i], v[j*wide+i+1], v[(j+1)*wide+i+1], v[(j+1)*wide+i]}
				ends = append(ends, crossings(float64(s.From)-0.5, corners,
					[4][2]float64{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)})...)
			}
		}
		if line.Pieces = joinEnds(ends); line.Pieces != nil {
			list = append(list, line)
		}
	}
	return list
}

// crossings are the pieces of a level's line in one cell, by marching squares: of a saddle
// the corners at either side of the mean are kept apart.
func crossings(level float64, v [4]float64, at [4][2]float64) [][2][2]float64 {
	var cut [][2]float64
	for k := range v {
		a, b := v[k], v[(k+1)%4]
		if math.IsNaN(a) {
			return nil
		}
		if (a < level) != (b < level) {
			f := (level - a) / (b - a)
			p, q := at[k], at[(k+1)%4]
			cut = append(cut, [2]float64{round5(p[0] + f*(q[0]-p[0])), round5(p[1] + f*(q[1]-p[1]))})
		}
	}
	switch len(cut) {
	case 2:
		return [][2][2]float64{{cut[0], cut[1]}}
	case 4:
		mean := (v[0] + v[1] + v[2] + v[3]) / 4
		if (mean < level) == (v[0] < level) {
			return [][2][2]float64{{cut[0], cut[1]}, {cut[2], cut[3]}}
		}
		return [][2][2]float64{{cut[3], cut[0]}, {cut[1], cut[2]}}
	}
	return nil
}

func round5(v float64) float64 { return math.Round(v*1e5) / 1e5 }

// joinEnds joins pieces that share an end into lines.
func joinEnds(pieces [][2][2]float64) [][][2]float64 {
	of := map[[2]float64][]int{} // pieces by their ends
	for i, p := range pieces {
		of[p[0]], of[p[1]] = append(of[p[0]], i), append(of[p[1]], i)
	}
	used := make([]bool, len(pieces))
	var lines [][][2]float64
	other := func(i int, end [2]float64) [2]float64 {
		if pieces[i][0] == end {
			return pieces[i][1]
		}
		return pieces[i][0]
	}
	grow := func(line [][2]float64) [][2]float64 {
		for {
			end := line[len(line)-1]
			k := slices.IndexFunc(of[end], func(i int) bool { return !used[i] })
			if k < 0 {
				return line
			}
			i := of[end][k]
			used[i] = true
			line = append(line, other(i, end))
		}
	}
	for i, p := range pieces {
		if used[i] {
			continue
		}
		used[i] = true
		line := grow([][2]float64{p[0], p[1]})
		slices.Reverse(line)
		lines = append(lines, grow(line))
	}
	return lines
}
