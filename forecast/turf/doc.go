// Package turf turns soil temperature into the germination and growth of turf
// grasses: species with their constants, the response of a seed to
// temperature, the spread within a seed lot, and the stages from sowing to an
// established plant.
//
// Start with [Find] or [All] for a [Species], then [Species.Growth] for the degree
// days of a day and [Species.ThermalTime] for the thermal time to a stage.
// [FindHost] has the turf that is overseeded, [RateFor] and [Sowing] the seed for an
// area. Temperatures are daily means of the soil at 5 cm in °C, thermal time is in
// degree days, °C d.
//
// [ErrSpecies], [ErrHost] and [ErrSowing] are for [errors.Is].
package turf
