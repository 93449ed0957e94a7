// Package climate holds the daily record of a weather station and what follows
// from it: civil days, solar geometry, the normal course of the year, gap filling,
// seasons, freeze dates, trends and degree days.
//
// Start with a [Record]. Package recordfile reads one from a file, package check
// removes suspect values, and package forecast works out seeding windows.
//
//   - [Fill] fills gaps
//   - [FitNormal] fits the normal course of the year to a series
//   - [FirstFreezes] and [LastFreezes] find when freezes came and their trend
//   - [Quantile] gives quantiles of dates over seasons
//
// Temperatures are in °C, precipitation in mm, latitudes in degrees; a missing
// value is NaN. A [Day] is a civil date, and a [Calendar] places the seasons of
// a hemisphere in the year.
//
// [ErrRecord], [ErrTooShort], [ErrNoLatitude], [ErrHemisphere] and [ErrThreshold]
// are distinguished by [errors.Is]. Nothing here knows a file, a flag or a
// clock. Several goroutines may use everything at once unless they change what
// they share.
package climate
