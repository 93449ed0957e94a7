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
// Lat: 33.78, Station Height: 48 M, Elev: 755ft.
var (
	latitudeIn  = regexp.MustCompile(`(?i)\blat(?:itude)?\b[\s:=]+(-?\d+(?:\.\d+)?)`)
	longitudeIn = regexp.MustCompile(`(?i)\blon(?:g(?:itude)?)?\b[\s:=]+(-?\d+(?:\.\d+)?)`)
	elevationIn = regexp.MustCompile(`(?i)\b(?:elev(?:ation)?|altitude|height)\b[\s:=]+(-?\d+(?:\.\d+)?)\s*(ft|feet)?`)
	nameIn      = regexp.MustCompile(`(?i)^\W*(?:station(?: name)?|name)\s*[:=]\s*(.+?)\s*$`)
)

const metresPerFoot = 0.3048

// preamble takes the place of the station from the lines before the header: from
// words that name it, or from two lines of a table of their own, names above
// values.
func (p *parser) preamble(head []byte) {
	lines := strings.SplitN(string(head), "\n", p.layout.skip+1)[:p.layout.skip]
	for i, line := range lines {
		set := func(to **float64, in *regexp.Regexp) {
			if m := in.FindStringSubmatch(line); m != nil {
				if v, err := strconv.ParseFloat(m[1], 64); err == nil {
					if len(m) > 2 && m[2] != "" {
						v *= metresPerFoot
					}
					*to = &v
				}
			}
		}
		set(&p.place.Latitude, latitudeIn)
		set(&p.place.Longitude, longitudeIn)
		set(&p.place.ElevationM, elevationIn)
		if m := nameIn.FindStringSubmatch(line); m != nil {
			p.place.Name = strings.Trim(m[1], `",; `)
		}
		if i+1 < len(lines) {
			p.placeTable(splitLine(line, p.layout.delimiter), splitLine(lines[i+1], p.layout.delimiter))
		}
	}
}

// placeTable takes the place from a line of names and the line of values below
// it.
func (p *parser) placeTable(names, values []string) {
	for i, name := range names[:min(len(names), len(values))] {
		value := strings.TrimSpace(values[i])
		v, ok := plainNumber(value)
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
