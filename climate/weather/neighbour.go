package weather

import (
	"fmt"
	"math/rand/v2"
)

// Neighbour returns one of many invented climates around [Piedmont], from 31 to 41
// degrees north: cooler, with a larger annual amplitude, towards the north. The
// same number gives the same climate.
func Neighbour(number int) Climate {
	random := rand.New(rand.NewPCG(uint64(number), 0xfe11))
	between := func(a, b float64) float64 { return a + (b-a)*random.Float64() }
	c := Piedmont()
	north := between(-4.4, 5.6) // degrees of latitude
	c.Place.Name = fmt.Sprintf("Sample field %d (invented)", number)
	c.Place.Latitude = new(hundredths(*c.Place.Latitude + north))
	c.Place.Longitude = new(hundredths(*c.Place.Longitude + between(-7, 7)))
	c.Place.ElevationM = new(float64(int(between(5, 600))))
	c.Mean += -0.75*north + between(-0.8, 0.8)
	c.Amplitude += 0.3*north + between(-0.5, 0.5)
	c.WinterSD += 0.12 * north
	c.Swing += between(-1.5, 1.5)
	return c
}

func hundredths(v float64) float64 { return tenths(10*v) / 10 }
