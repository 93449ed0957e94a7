// Package recordfile reads the daily record of a weather station from the text
// files that weather services and growers have. It understands a file by its
// header: which columns there are, in which unit, how dates are written; tells
// what it understood; and refuses, naming file, line and column, what could be
// read in two ways.
//
// Start with [Read].
package recordfile
