package main

import (
	"fmt"
	"math"
)

// The only place that knows °F beside the reading of files.

func celsius(f float64) float64    { return (f - 32) / 1.8 }
func fahrenheit(c float64) float64 { return c*1.8 + 32 }

// A unitSystem says in which units text is printed.
type unitSystem bool

const (
	us     unitSystem = false
	metric unitSystem = true
)

func (o *outputFlags) system() unitSystem { return unitSystem(o.units.value == "metric") }

// temp prints a temperature, whole degrees in °F, tenths in °C.
func (u unitSystem) temp(c float64) string {
	if u == metric {
		return fmt.Sprintf("%.1f °C", roundTo(c, 1))
	}
	return fmt.Sprintf("%.0f °F", roundTo(fahrenheit(c), 0))
}

// difference prints a difference of temperatures with its sign.
func (u unitSystem) difference(c float64) string {
	if u == metric {
		return fmt.Sprintf("%+.1f °C", roundTo(c, 1))
	}
	return fmt.Sprintf("%+.1f °F", roundTo(c*1.8, 1))
}

// depth prints a soil depth.
func (u unitSystem) depth(cm int) string {
	if u == metric {
		return fmt.Sprintf("%d cm", cm)
	}
	return fmt.Sprintf("%.0f in.", math.Round(float64(cm)/2.54))
}
