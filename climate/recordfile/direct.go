package recordfile

// The reflection of gocsv costs three to four times what reading the CSV itself
// does. Rows of the layouts that most files have are decoded here without it,
// into the same row type; rows without a quotation mark do not pass the CSV reader
// either. FuzzDirect holds all to the same answer.

// direct reports whether directRow can decode the layout's rows after the first.
func (l *layout) direct() bool { return l.has(roleDate) }

// directRow reads the next row.
func (p *parser) directRow(r *row) error {
	cells, past := p.lines.next(byte(p.layout.delimiter), p.csv.Comment != 0)
	if p.past = past; !past {
		var err error
		if cells, err = p.csv.Read(); err != nil {
			return err
		}
	}
	*r = row{}
	for i, c := range cells {
		if i >= len(p.layout.roles) {
			break
		}
		switch p.layout.roles[i] {
		case roleDate:
			r.Date = c
		case roleTMax:
			r.TMax.UnmarshalCSV(c)
		case roleTMin:
			r.TMin.UnmarshalCSV(c)
		case rolePrecip:
			r.Precip.UnmarshalCSV(c)
		case roleStation:
			r.Station = c
		case roleElement:
			r.Element = c
		case roleValue:
			r.Value.UnmarshalCSV(c)
		case roleQuality:
			r.Quality = c
		case roleTMaxFlags:
			r.TMaxFlags = c
		case roleTMinFlags:
			r.TMinFlags = c
		case roleName:
			r.Name = c
		case roleLatitude:
			r.Latitude.UnmarshalCSV(c)
		case roleLongitude:
			r.Longitude.UnmarshalCSV(c)
		case roleElevation:
			r.Elevation.UnmarshalCSV(c)
		case roleLead:
			r.Lead.UnmarshalCSV(c)
		case roleSD:
			r.SD.UnmarshalCSV(c)
		}
	}
	return nil
}
