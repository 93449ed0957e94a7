package recordfile

import (
	"bufio"
	"bytes"
	"io"
	"regexp"
	"strconv"
	"strings"
)

// The forms in which lines before the header give the place: latitude 33.78,
// Lat: 33.78 N, Latitude 33-46N, Station Height: 48 M, Elev: 755ft, Altitude 1,160 m.
var (
	latitudeIn  = regexp.MustCompile(`(?i)\blat(?:itude|itud)?\b` + degreesBehind)
	longitudeIn = regexp.MustCompile(`(?i)\blon(?:g(?:itude|itud)?)?\b` + degreesBehind)
	elevationIn = regexp.MustCompile(`(?i)\b(?:elev(?:ation)?|altitude|alt|height|altitud)\b` +
		`(?: *\((m|ft|feet|met\w*)\))?[\s:=,"]+` +
		`(-?\d{1,3}(?:,\d{3})+(?:\.\d+)?|-?\d+(?:\.\d+)?)\s*(ft|feet)?`)
	nameIn = regexp.MustCompile(`(?i)^\W*(?:station(?: name)?|name)\s*[:=]\s*(.+?)\s*$`)
)

// degreesBehind is a latitude or longitude behind its word: in degrees and perhaps
// minutes and seconds with the half of the Earth behind, or in degrees.
const degreesBehind = `(?: *\([^)]*\))?[\s:=,"]+(` +
	`[NSEW]? *[-+−]?\d{1,3}[° -]+\d{1,2}(?:[' ′’-]+\d{1,2}(?:\.\d+)?)? *["″'′’]* *[NSEW]\b|` +
	`[NSEW]? *[-+−]?\d{1,3}(?:\.\d+)?(?: *(?:°|º|deg\w*))?(?: *[NSEW]\b)?)`

var coordinateParts = regexp.MustCompile(`(?i)^([NSEW])? *([-+−]?)(\d{1,3}(?:\.\d+)?)` +
	`(?:[° -]+(\d{1,2})(?:[' ′’-]+(\d{1,2}(?:\.\d+)?))? *["″'′’]* *([NSEW])|[ °º]*(?:deg\w*)? *([NSEW])?)$`)

// coordinate reads a latitude or longitude in degrees, north and east positive.
func coordinate(s string) (float64, bool) {
	m := coordinateParts.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(m[3], 64)
	if err != nil {
		return 0, false
	}
	for i, per := range []float64{60, 3600} {
		if part := m[4+i]; part != "" {
			n, err := strconv.ParseFloat(part, 64)
			if err != nil || n >= 60 {
				return 0, false
			}
			v += n / per
		}
	}
	half := strings.ToUpper(m[1] + m[6] + m[7])
	if half == "S" || half == "W" || m[2] == "-" || m[2] == "−" {
		v = -v
	}
	return v, true
}

const metresPerFoot = 0.3048

// above are the lines before the header.
func (l *layout) above(head []byte) string {
	lines := bytes.SplitAfterN(head, []byte("\n"), l.skip+1)
	return string(bytes.Join(lines[:min(l.skip, len(lines))], nil))
}

// preamble takes the place of the station from the lines before the header: from
// words that name it, or from two lines of a table of their own, names above
// values.
func (p *parser) preamble(above string) {
	lines := strings.Split(strings.TrimSuffix(above, "\n"), "\n")
	for i, line := range lines {
		degrees := func(to **float64, in *regexp.Regexp) {
			if m := in.FindStringSubmatch(line); m != nil {
				if v, ok := coordinate(m[1]); ok {
					*to = &v
				}
			}
		}
		degrees(&p.place.Latitude, latitudeIn)
		degrees(&p.place.Longitude, longitudeIn)
		if m := elevationIn.FindStringSubmatch(line); m != nil {
			if v, err := strconv.ParseFloat(strings.ReplaceAll(m[2], ",", ""), 64); err == nil {
				if m[3] != "" || strings.HasPrefix(strings.ToLower(m[1]), "f") {
					v *= metresPerFoot
				}
				p.place.ElevationM = &v
			}
		}
		if m := nameIn.FindStringSubmatch(line); m != nil {
			p.place.Name = strings.Trim(m[1], `",; `)
		}
		if i+1 < len(lines) {
			p.placeTable(splitLine(line, p.layout.delimiter), splitLine(lines[i+1], p.layout.delimiter))
		}
	}
	if strings.HasPrefix(strings.TrimLeft(above, "\"\ufeff"), "TOA5") {
		p.layout.endOfDay = true // tables of data loggers are stamped at the end of what they sum up
	}
}

// placeTable takes the place from a line of names and the line of values below
// it.
func (p *parser) placeTable(names, values []string) {
	for i, name := range names[:min(len(names), len(values))] {
		value := strings.TrimSpace(values[i])
		v, ok := plainNumber(value)
		if !ok {
			v, ok = coordinate(value)
		}
		for _, m := range meanings(name) {
			switch {
			case m.role == roleName && value != "":
				p.place.Name = value
			case m.role == roleLatitude && ok:
				p.place.Latitude = &v
			case m.role == roleLongitude && ok:
				p.place.Longitude = &v
			case m.role == roleElevation && ok:
				p.place.ElevationM = &v
			}
		}
	}
}

// A blankSeparated reader turns runs of blanks between columns into commas, line
// by line.
type blankSeparated struct {
	in   *bufio.Reader
	line []byte
}

func newBlankSeparated(r io.Reader) io.Reader { return &blankSeparated{in: bufio.NewReader(r)} }

func (b *blankSeparated) Read(p []byte) (int, error) {
	if len(b.line) == 0 {
		raw, err := b.in.ReadBytes('\n')
		if len(raw) == 0 {
			return 0, err
		}
		b.line = append(bytes.Join(bytes.Fields(raw), []byte(",")), '\n')
	}
	n := copy(p, b.line)
	b.line = b.line[n:]
	return n, nil
}
