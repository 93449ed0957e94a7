// Package recordfile reads the daily record of a weather station from the text
// files that weather services and growers have. It understands a file by its
// header: which columns there are, in which unit, how dates are written; tells
// what it understood; and refuses, naming file, line and column, what could be
// read in two ways.
//
// Start with [Read]. The zero [Options] leave everything to the file; the
// [File] it returns has the record, in °C and mm, with what was understood. A
// fault of the file is an [*Error], to be had with [errors.As]: its place, its
// kind, which names the option that settles it, and a hint for the file. Values
// are read as they stand but for codes of missing ones; package check finds
// suspect ones.
package recordfile
