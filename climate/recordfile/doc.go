// Package recordfile reads the daily record of a weather station from the text
// files that weather services and growers have. It understands a file by its
// header: which columns there are, in which unit, how dates are written; tells
// what it understood; and refuses, naming file, line and column, what could be
// read in two ways.
//
// Start with [Read]. The zero [Options] leave everything to the file; the
// [File] it returns has the record, in °C and mm, with what was understood. A
// fault of the file is an [*Error], to be had with [errors.As]: its place, what
// is wrong, and a hint that tells what to do about it. Values are read as they
// stand but for codes of missing ones; package check tells which of them cannot
// be believed.
package recordfile
