// Package recordfile reads the daily record of a weather station from the text
// files that weather services and growers have. It finds out from the header and
// the values which columns there are, in which unit, and how dates are written,
// and reports what it found. What can be read in two ways is an error with file,
// line and column.
//
// Start with [Read]. The zero [Options] leave everything to the file; the
// [File] it returns has the record, in °C and mm, with what was understood. A
// fault of the file is an [*Error], to be had with [errors.As]: its place, its
// kind, which names the option that settles it, and a hint for the file. Codes
// for missing values become NaN; package check finds suspect values.
package recordfile
