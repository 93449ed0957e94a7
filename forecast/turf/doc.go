// Package turf turns soil warmth into the germination and growth of turf
// grasses: species with their constants, the response of a seed to
// temperature, the spread of a seed lot, and the stages from sowing to an
// established plant.
//
// Start with [Find] or [All] for a [Species], then [Species.Growth] for the
// warmth a day gives and [Species.Warmth] for the warmth a stage needs.
// Temperatures are daily means of the soil at 5 cm in °C, warmth is in degree
// days, °C d.
package turf
