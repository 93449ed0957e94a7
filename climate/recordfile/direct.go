package recordfile

// The reflection of gocsv costs three to four times what reading the CSV itself
// does. Rows after the first are decoded here without it, into the same row type;
// rows without a quotation mark do not pass the CSV reader either. FuzzDirect holds all to the same answer.

// directRow reads the next row.
func (p *parser) directRow(r *row) error {
	cells, past := p.lines.next(byte(p.layout.delimiter), p.csv.Comment != 0)
	if p.past = past; !past {
		var err error
		if cells, err = p.csv.Read(); err != nil {
			return err
		}
	}
	if len(cells) < len(p.layout.roles) {
		*r = row{} // else every cell that is read is set below
	}
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
		case roleTemp:
			r.Temp.UnmarshalCSV(c)
		case roleTime:
			r.Time = c
		case roleYear:
			r.Year = c
		case roleMonth:
			r.Month = c
		case roleDay:
			r.Day = c
		case roleYearDay:
			r.YearDay = c
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
