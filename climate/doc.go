// Package climate holds what a weather station tells and the calendar and sky
// give: civil days, the daily record, solar geometry, the normal course of the
// year, gap filling, seasons, freeze dates, trends and degree days.
//
// Start with a [Record]; package recordfile reads one from a file, package check
// takes out of it what cannot be believed, and package forecast works out
// windows from it. Of the record itself
//
//   - [Fill] bridges its gaps
//   - [FitNormal] fits the normal course of the year to a series
//   - [FirstFreezes] and [LastFreezes] find when freezes came and their trend
//   - [Quantile] sums up dates over seasons
//
// Temperatures are in °C, precipitation in mm, latitudes in degrees; a missing
// value is NaN. A [Day] is a civil date, and a [Calendar] places the seasons of
// a hemisphere in the year. Nothing here knows a file, a flag or a clock, and
// everything may be used by several goroutines at once unless they change what
// they share.
package climate
