// Package climate holds what a weather station tells and the calendar and sky
// give: civil days, the daily record, solar geometry, the normal course of the
// year, gap filling and degree days.
//
// Start with a [Record]; package recordfile reads one from a file. Temperatures
// are in °C, precipitation in mm, latitudes in degrees; a missing value is NaN.
// Nothing here knows a file, a flag or a clock.
package climate
