package recordfile

import (
	"slices"
	"strings"
	"unicode"
)

// A role is what a column holds. Its text is the name under which the row type
// knows the column.
type role string

const (
	roleNone      role = ""
	roleDate      role = "date"
	roleYear      role = "year"
	roleMonth     role = "month"
	roleDay       role = "day"
	roleYearDay   role = "yearday"
	roleTMax      role = "tmax"
	roleTMin      role = "tmin"
	rolePrecip    role = "precip"
	roleTMaxFlags role = "tmax_flags"
	roleTMinFlags role = "tmin_flags"
	roleElement   role = "element"
	roleValue     role = "value"
	roleQuality   role = "quality"
	roleStation   role = "station"
	roleName      role = "name"
	roleLatitude  role = "latitude"
	roleLongitude role = "longitude"
	roleElevation role = "elevation"
	roleLead      role = "lead"
	roleSD        role = "sd"
)

// meaning is how a role is called in messages.
var meaning = map[role]string{
	roleDate: "date", roleYear: "year", roleMonth: "month", roleDay: "day", roleYearDay: "day of the year",
	roleTMax: "highest temperature", roleTMin: "lowest temperature", rolePrecip: "precipitation",
	roleTMaxFlags: "flags of the highest temperature", roleTMinFlags: "flags of the lowest temperature",
	roleElement: "element", roleValue: "value", roleQuality: "quality flag",
	roleStation: "station", roleName: "station name",
	roleLatitude: "latitude", roleLongitude: "longitude", roleElevation: "elevation",
	roleLead: "days ahead", roleSD: "standard error",
}

// forecastWords are the column names of what only forecast rows have. In a record
// they mean other things: sd is the depth of snow to many services.
var forecastWords = map[role][]string{
	roleLead: {"lead", "leaddays", "leadtime", "daysahead"},
	roleSD:   {"sd", "standarddeviation", "standarderror", "stddev", "error", "sigma"},
}

// words lists the column names of each role, the most telling first, in lower
// case without separators and units. They are those of the open data of
// weather services and plain English.
var words = map[role][]string{
	roleDate: {"date", "datum", "obsdate", "observationdate", "localdate", "datetime", "dateofobservation", "time",
		"valid", "yyyymmdd", "aaaammjj", "messdatum", "lstdate", "day"},
	roleYear: {"year", "yr", "yyyy"}, roleMonth: {"month", "mon", "mo"}, roleDay: {"day", "dayofmonth", "dy", "dd"},
	roleYearDay: {"doy", "dayofyear", "yearday", "yday", "julianday"},
	roleTMax: {"tmax", "maxtp", "tempmax", "maxtemp", "tmx", "tx", "maxt", "temperaturemax", "maxtemperature",
		"maximumtemperature", "temperaturemaximum", "maximumtemp", "tempmaximum", "maximumairtemperature",
		"maxairtemperature", "maxairtemp", "airtempmax", "airtmax", "tairmax", "temperature2mmax", "t2mmax", "txk",
		"tdailymax", "temperaturehigh", "hitemp", "dailymaximumtemperature", "dailymax",
		"hightemperature", "hightemp", "temphigh", "high", "maximum", "max"},
	roleTMin: {"tmin", "mintp", "tempmin", "mintemp", "tmn", "tn", "mint", "temperaturemin", "mintemperature",
		"minimumtemperature", "temperatureminimum", "minimumtemp", "tempminimum", "minimumairtemperature",
		"minairtemperature", "minairtemp", "airtempmin", "airtmin", "tairmin", "temperature2mmin", "t2mmin", "tnk",
		"tdailymin", "temperaturelow", "lowtemperature", "dailyminimumtemperature", "dailymin",
		"lowtemp", "templow", "low", "minimum", "min"},
	rolePrecip: {"prcp", "precip", "precipitation", "rain", "rainfall", "ppt", "pcpn", "pcp", "rr",
		"precipitationamount", "precipitationsum", "rainsum", "raintotal", "totalprecipitation", "totalprecip",
		"totalrainfall", "rsk", "pdailycalc"},
	roleTMaxFlags: {"tmaxattributes"}, roleTMinFlags: {"tminattributes"},
	roleElement:  {"element", "attr", "attribute", "datatype", "parameter", "variable", "elem"},
	roleValue:    {"value", "datavalue", "val"},
	roleQuality:  {"qflag", "qualityflag", "qcflag"},
	roleStation:  {"station", "stationid", "id", "wban", "wbanno", "site", "siteid"},
	roleName:     {"name", "stationname", "stnname", "nomusuel", "sitename"},
	roleLatitude: {"latitude", "lat", "latitudey"}, roleLongitude: {"longitude", "lon", "long", "lng", "longitudex"},
	roleElevation: {"elevation", "elevationm", "elev", "altitude", "alt", "alti", "height"},
}

// A match is what a column name means.
type match struct {
	role role
	rank int    // place in the role's list of words; lower tells more
	unit string // as written in the name: "C", "F", "tenths-C", "mm", "in", or ""
}

// meanings returns what a column name can mean, in no order: "day" is a day of
// the month beside a year, and a date without one.
func meanings(header string) []match {
	name, unit := splitUnit(header)
	var found []match
	for r, list := range words {
		if i := slices.Index(list, name); i >= 0 {
			found = append(found, match{r, i, unit})
			continue
		}
		// tmaxC, tmin_f without a separator before the unit.
		if u := strings.ToUpper(name[max(0, len(name)-1):]); unit == "" && (u == "C" || u == "F") &&
			(r == roleTMax || r == roleTMin) {
			if i := slices.Index(list, name[:len(name)-1]); i >= 0 {
				found = append(found, match{r, i, u})
			}
		}
	}
	return found
}

// unitWords are the units that a column name can end in, after a separator.
var unitWords = map[string]string{
	"c": "C", "oc": "C", "degc": "C", "degreec": "C", "celsius": "C", "degreesc": "C", "degreescelsius": "C",
	"f": "F", "of": "F", "degf": "F", "degreef": "F", "fahrenheit": "F", "degreesf": "F", "degreesfahrenheit": "F",
	"tenthsc": "tenths-C", "tenthsofc": "tenths-C", "01c": "tenths-C",
	"mm": "mm", "in": "in", "inch": "in", "inches": "in",
}

// splitUnit takes a column name apart into its letters and digits, in lower
// case, and the unit at its end.
func splitUnit(header string) (name, unit string) {
	parts := strings.FieldsFunc(strings.ToLower(header), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	for k := min(3, len(parts)-1); k > 0; k-- {
		if u, ok := unitWords[strings.Join(parts[len(parts)-k:], "")]; ok {
			unit = u
			parts = parts[:len(parts)-k]
			break
		}
	}
	return strings.Join(parts, ""), unit
}

// unitWord reads a cell that holds a unit alone, such as °C or deg F.
func unitWord(s string) (string, bool) {
	parts := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	u, ok := unitWords[strings.Join(parts, "")]
	return u, ok
}
