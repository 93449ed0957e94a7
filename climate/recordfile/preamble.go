package recordfile

import (
	"bufio"
	"bytes"
	"io"
	"strconv"
	"strings"
)

// preamble takes the place of the station from the lines before the header,
// where they give it as KEY: VALUE.
func (p *parser) preamble(head []byte) {
	for _, raw := range bytes.SplitN(head, []byte("\n"), p.layout.skip+1)[:p.layout.skip] {
		for pair := range strings.SplitSeq(string(raw), ",") {
			key, value, ok := strings.Cut(pair, ":")
			if !ok {
				continue
			}
			value = strings.TrimSpace(value)
			number, _, _ := strings.Cut(value, " ")
			v, err := strconv.ParseFloat(number, 64)
			switch strings.ToLower(strings.TrimSpace(key)) {
			case "station name", "station", "name":
				p.place.Name = value
			case "latitude", "lat":
				if err == nil {
					p.place.Latitude = v
				}
			case "longitude", "lon":
				if err == nil {
					p.place.Longitude = v
				}
			case "station height", "elevation", "height":
				if err == nil {
					p.place.ElevationM = v
				}
			}
		}
	}
}

// A blankSeparated reader turns runs of blanks between columns into commas,
// line by line.
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
