// Package words puts quantities, dates and chances in words for people: in US or
// metric units, within the width of a terminal, and without characters that could
// steer one.
package words
