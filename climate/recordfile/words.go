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
	roleTime      role = "time"
	roleTMax      role = "tmax"
	roleTMin      role = "tmin"
	roleTemp      role = "temp"
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
	roleTime: "time of day", roleTMax: "highest temperature", roleTMin: "lowest temperature",
	roleTemp: "temperature of the moment", rolePrecip: "precipitation",
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
// case without separators, accents and units. Names made of plain words, such as
// "Daily Maximum Air Temperature", need no line here: the vocabulary below takes
// them apart.
var words = map[role][]string{
	roleDate: slices.Concat([]string{
		"date", "datum", "obsdate", "observationdate", "localdate", "datetime", "dateofobservation",
		"lstdate", // USCRN: local standard time, before utcdate
	}, []string{
		"yearmoda",             // NOAA NCEI, Global Surface Summary of the Day
		"obendtime",            // Met Office, MIDAS Open
		"datenzst", "datenzdt", // NIWA, CliFlo
		"datadate",                // Environment Agency, from memory
		"obstimelocal", "dateutc", // services of home stations, common practice
		"aaaammjj",                      // Météo-France, données climatologiques quotidiennes
		"messdatum",                     // DWD, Tageswerte
		"datamedicao",                   // INMET
		"representativtdygn",            // SMHI
		"tidnorsknormaltid",             // MET Norway
		"valid",                         // IEM, ASOS
		"referencetimestamp",            // MeteoSwiss, open data
		"年月日", "yyyymmdd", "yyyymmddhh", // JMA; KNMI
		"日付", "日期", "дата", "kuupaev", // Japanese, Chinese, Russian, Estonian
		"time", "timestamp", "day", "tag", "jour", "dag", "paiva", "paivamaara", "dt", "ts",
		"localtime", "when",
		"dateend", "enddate", "timeend", "endtime", "periodend", "validto",
	}),
	roleYear: {"year", "yr", "yyyy", "jahr", "annee", "ano", "anno", "jaar", "ar", "vuosi", "rok"},
	roleMonth: {"month", "mon", "mo", "mm", "monat", "mois", "mes", "mese", "maand", "manad", "maned", "kuukausi",
		"miesiac", "mesic"},
	roleDay: {"day", "dayofmonth", "dom", "dy", "dd", "tag", "jour", "dia", "giorno", "dag", "paiva", "dzien",
		"den"},
	roleYearDay: {"doy", "dayofyear", "yearday", "yday", "julianday", "jday", "jul"},
	roleTime: {"time", "timeofday", "localtime", "obstime", "observationtime", "lsttime", "timelocaltime", "hour",
		"hr", "hh", "hhmm", "uhrzeit", "stunde", "heure", "hora", "ora", "tid", "kl", "uur", "timeutc", "utctime"},
	roleTMax: {"tmax", "maxtp", "tempmax", "maxtemp", "tmx", "tx", "maxt", "temperaturemax", "maxtemperature",
		"txk",                                  // DWD, Tageswerte
		"tlmax",                                // GeoSphere Austria, klima-v2-1d
		"tre200dx",                             // MeteoSwiss, open data
		"temperature2mmax", "t2mmax", "tasmax", // modelled and gridded series
		"tdailymax",    // USCRN
		"最高気温", "最高气温", // JMA; CMA
		"mx2t", "mx2t24", // ECMWF, ERA5
		"maximumtemperaturein24hoursafter9amlocaltimein", // Bureau of Meteorology
		"maxairtemp",           // MIDAS Open, Met Office
		"outtempmax",           // archives of home stations, common practice
		"airtcmax", "airtfmax", // tables of data loggers, common practice
		"tdaymax", "tairmax", "airtmax", "maxairt",
		"high", "maximum", "max"},
	roleTMin: {"tmin", "mintp", "tempmin", "mintemp", "tmn", "tn", "mint", "temperaturemin", "mintemperature",
		"tnk",                                  // DWD, Tageswerte
		"tlmin",                                // GeoSphere Austria, klima-v2-1d
		"tre200dn",                             // MeteoSwiss, open data
		"temperature2mmin", "t2mmin", "tasmin", // modelled and gridded series
		"tdailymin",    // USCRN
		"最低気温", "最低气温", // JMA; CMA
		"mn2t", "mn2t24", // ECMWF, ERA5
		"minimumtemperaturein24hoursbefore9amlocaltimein", // Bureau of Meteorology
		"minairtemp",           // MIDAS Open, Met Office
		"outtempmin",           // archives of home stations, common practice
		"airtcmin", "airtfmin", // tables of data loggers, common practice
		"tdaymin", "tairmin", "airtmin", "minairt",
		"low", "minimum", "min"},
	roleTemp: {"temp", "temperature", "airtemperature", "airtemp", "tair", "ta",
		"tmpf", "tmpc", // IEM, ASOS
		"tt10", "tttu", // DWD, 10 Minuten and Stundenwerte
		"tre200s0", // MeteoSwiss, open data
		"lufttemperatur", "temperature2m", "t2m", "outtemp", "outdoortemperature", "outdoortemp", "tempout", "drybulb",
		"drybulbtemp", "hourlydrybulbtemperature"},
	rolePrecip: {"prcp", "precip", "precipitation", "rain", "rainfall", "ppt", "pcpn", "pcp", "rr",
		"precipitationamount", "precipitationsum", "rainsum", "raintotal", "totalprecipitation", "totalprecip",
		"totalrainfall", "rainfallamount", "dailyrain", "dailyrainfall", "preciptotal", "raindaily",
		"rsk",        // DWD, Tageswerte
		"pdailycalc", // USCRN
		"rre150d0",   // MeteoSwiss, open data
		"prectotcorr", "rh24", "prec", "pr",
		"niederschlag", "precipitations", "pluie", "lluvia", "chuva", "pioggia", "neerslag", "nederbord", "nedbor",
		"降水量の合計"},
	roleElement: {"element", "attr", "attribute", "datatype", "parameter", "variable", "elem"},
	roleValue:   {"value", "datavalue", "val"},
	roleQuality: {"qflag", "qualityflag", "qcflag", "attributes"},
	roleStation: slices.Concat([]string{
		"station", "stationid", "id", "site", "siteid", "stationnumber", "stationno", "stn", "stnid", "stationcode",
		"stnno", "stid", "wmoid", "wmo", "icao",
	}, []string{
		"wban", "wbanno", // USCRN
		"numposte",                                                // Météo-France
		"climateid",                                               // Environment and Climate Change Canada
		"stationsid",                                              // DWD
		"staid",                                                   // ECA&D
		"bureauofmeteorologystationnumber",                        // Bureau of Meteorology
		"indicativo", "stasjon", "stationlocation", "stationabbr", // AEMET, MET Norway, MeteoSwiss
		"stationsnummer", "estacion", "estacao", "codigo", "stazione", "poste", "havaintoasema", "observationstation",
	}),
	roleName: {"name", "stationname", "stnname", "sitename", "location", "locationname", "place", "placename",
		"nomusuel", "nombre", "navn", "ort", "lieu", "stationsname"},
	roleLatitude:  {"latitude", "lat", "latitudey", "latdegrees", "latitud", "breite", "geobreite"},
	roleLongitude: {"longitude", "lon", "long", "lng", "longitudex", "longitud", "lange", "geolange"},
	roleElevation: {"elevation", "elevationm", "elev", "altitude", "alt", "alti", "height", "stationheight", "altitud",
		"hohe", "hoehe"},
}

// A part is what a word says within a column name.
type part uint8

const (
	partNone part = iota
	partHigh      // the highest
	partLow       // the lowest
	partTemp      // a temperature of the air
	partFill      // says nothing that matters
	partSeen      // observed, where other columns are not
	partDate
	partWhen  // which date
	partClock // a date, or a time of day
)

// vocabulary holds the words that column names are made of, without accents. A
// name that has another word is not taken for a temperature: soil, grass, dew,
// average, record, time of the maximum.
var vocabulary = vocabularyOf(map[part]string{
	partHigh: "max maximum maxi maximal maximale maximum maxima maximo massima massimo maks maksimum " +
		"maksimi maximi maksymalna maximalni maksimaalne maksimalna maksimal макс максимальная high highest hi hochste hochster hoechste hogsta hogst hoyeste hojeste hoogste " +
		"haute najwyzsza nejvyssi ylin maxtemperatur maximumtemperatur maksimumstemperatur " +
		"hochsttemperatur maximumtemperatuur",
	partLow: "min minimum minimi minimalna minimalni minimaalne мин минимальная mini minimal minimale minima minimo mini minimi low lowest lo tiefste tiefster " +
		"niedrigste lagsta lagst laveste laagste basse najnizsza nejnizsi alin mintemperatur " +
		"minimumtemperatur minimumstemperatur tiefsttemperatur minimumtemperatuur",
	partTemp: "temp temps temperature temperatures temperatur temperatura temperatuur tempe tmp air tair " +
		"airtemp airtemperature t ta lufttemperatur luchttemperatuur lampotila teplota vzduchu " +
		"ilman aire aria luft lucht drybulb powietrza ohutemperatuur температура воздуха temperaturen",
	partFill: "daily day of the at for and on hrs dobowa dnia суточная yyyy yy mm dd yyyymmdd ddmmyyyy mmddyyyy 2m 200cm 24h 24hr 24hrs 24 hour hours 24hour deg degree degrees " +
		"outdoor outside out value values reading station journaliere journalier quotidienne du " +
		"jour de la del des della giornaliera diaria diario dagelijkse tages tageshochst taglich " +
		"taglich dygn dogn dag dagens vuorokauden per bulb dry sheltered screen shade",
	partSeen: "actual observed obs measured recorded",
	partDate: "date kuupaev дата datums dates datum data fecha dato pvm ymd",
	partWhen: "simple calendar local lst obs observation observed reading measurement measured record recorded valid " +
		"pomiaru observacion",
	partClock: "time timestamp stamp utc gmt datetime timeutc zeit tijd tid aika beginning start",
})

func vocabularyOf(lists map[part]string) map[string][]part {
	out := map[string][]part{}
	for p, list := range lists {
		for _, w := range strings.Fields(list) {
			if !slices.Contains(out[w], p) {
				out[w] = append(out[w], p)
			}
		}
	}
	return out
}

// Ranks of names that the vocabulary takes apart, behind all listed words.
const (
	rankSeen    = 400 // observed
	rankWords   = 500
	rankGeneric = 900 // nothing says that it is a temperature
)

// A match is what a column name means.
type match struct {
	role role
	rank int    // place in the role's list of words; lower tells more
	unit string // as written in the name: "C", "F", "K", "tenths-C", "mm", "in", or ""
}

// generic reports whether a name says which extreme it is, but not of what.
func (m match) generic() bool {
	list := words[m.role]
	return m.rank == rankGeneric || m.rank < len(list) && slices.Contains(
		[]string{"high", "maximum", "max", "low", "minimum", "min"}, list[m.rank])
}

// fits reports whether the unit of a name is one of what it would hold.
func (m match) fits() bool {
	length := m.unit == "mm" || m.unit == "in"
	switch m.role {
	case roleTMax, roleTMin, roleTemp:
		return !length
	case rolePrecip:
		return length || m.unit == ""
	}
	return true
}

// meanings returns what a column name can mean, in no order: "day" is a day of
// the month beside a year, and a date without one.
func meanings(header string) []match {
	parts, unit := nameParts(header)
	name := strings.Join(parts, "")
	if name == "" {
		return nil
	}
	var found []match
	for r, list := range words {
		if i := slices.Index(list, name); i >= 0 {
			found = append(found, match{r, i, unit})
			continue
		}
		// tmaxC, tmin_f without a separator before the unit.
		if u := strings.ToUpper(name[max(0, len(name)-1):]); unit == "" && (u == "C" || u == "F" || u == "K") &&
			(r == roleTMax || r == roleTMin) {
			if i := slices.Index(list, name[:len(name)-1]); i >= 0 {
				found = append(found, match{r, i, u})
			}
		}
	}
	if len(found) > 0 {
		return found
	}
	if m, ok := phrase(parts); ok {
		if m.unit = unit; unit == "" && len(parts) > 1 {
			switch last := parts[len(parts)-1]; last {
			case "c", "f", "k":
				m.unit = strings.ToUpper(last)
			}
		}
		return []match{m}
	}
	return nil
}

// phrase takes apart a name whose every word is in the vocabulary.
func phrase(parts []string) (match, bool) {
	var n [partClock + 1]int
	words := 0
	for _, p := range parts {
		list := segments(p)
		if list == nil {
			return match{}, false
		}
		for _, w := range list {
			words++
			for _, x := range vocabulary[w] {
				n[x]++
			}
		}
	}
	temperature := n[partHigh] + n[partLow] + n[partTemp] + n[partFill] + n[partSeen]
	switch {
	case n[partHigh] > 0 && n[partLow] > 0:
	case (n[partHigh] > 0 || n[partLow] > 0) && temperature >= words && n[partClock] == 0:
		m := match{role: roleTMax, rank: rankWords}
		if n[partLow] > 0 {
			m.role = roleTMin
		}
		if n[partTemp] == 0 && !strings.Contains(strings.Join(parts, ""), "temp") {
			m.rank = rankGeneric
		} else if n[partSeen] > 0 {
			m.rank = rankSeen
		}
		return m, true
	case n[partDate]+n[partClock] > 0 && n[partDate]+n[partClock]+n[partWhen]+n[partFill] >= words:
		m := match{role: roleDate, rank: rankWords}
		if n[partDate] == 0 {
			m.rank += 100
		}
		return m, true
	case n[partTemp] > 0 && temperature >= words && words > 1 && n[partFill]+n[partTemp]+n[partSeen] >= words:
		return match{role: roleTemp, rank: rankWords}, true
	}
	return match{}, false
}

// segments takes a word apart into one or two, or three, of the vocabulary, nil
// where it cannot be. A single letter stands for a word only by itself, or at the
// beginning as in tmax.
func segments(word string) []string {
	if _, ok := vocabulary[word]; ok {
		return []string{word}
	}
	for i := len(word) - 2; i > 0; i-- {
		head := word[:i]
		if _, ok := vocabulary[head]; !ok || i == 1 && head != "t" {
			continue
		}
		if rest := segments(word[i:]); rest != nil {
			return append([]string{head}, rest...)
		}
	}
	return nil
}

// unitWords are the units that a column name can end in, after a separator.
var unitWords = map[string]string{
	"c": "C", "oc": "C", "degc": "C", "degreec": "C", "celsius": "C", "degreesc": "C", "degreescelsius": "C",
	"degcelsius": "C", "gradc": "C", "centigrade": "C", "℃": "C", "degreecelsius": "C",
	"f": "F", "of": "F", "degf": "F", "degreef": "F", "fahrenheit": "F", "degreesf": "F", "degreesfahrenheit": "F",
	"degfahrenheit": "F", "℉": "F", "degreefahrenheit": "F",
	"k": "K", "kelvin": "K", "degk": "K",
	"tenthsc": "tenths-C", "tenthsofc": "tenths-C", "01c": "tenths-C", "tenthsofdegreesc": "tenths-C",
	"tenthsdegc": "tenths-C", "tenthsofdegc": "tenths-C",
	"mmday": "mm", "mmd": "mm", "inday": "in", // Daymet and other gridded series
	"mm": "mm", "in": "in", "inch": "in", "inches": "in", "millimeters": "mm", "millimetres": "mm",
}

// fold takes the accents off letters of the languages whose words are listed.
var fold = strings.NewReplacer(slices.Concat(accents("áàâäãå", "a"), accents("éèêëěę", "e"),
	accents("íî", "i"),
	accents("óôöõø", "o"), accents("úüû", "u"), accents("ç", "c"), accents("č", "c"), accents("ñ", "n"),
	accents("žż", "z"), accents("šś", "s"), accents("ý", "y"), accents("ř", "r"), accents("ą", "a"),
	accents("ł", "l"), []string{"℃", " ℃ ", "℉", " ℉ "})...)

func accents(letters, plain string) (pairs []string) {
	for _, r := range letters {
		pairs = append(pairs, string(r), plain)
	}
	return pairs
}

// nameParts takes a column name apart into its words, in lower case without
// accents, and the unit at its end.
func nameParts(header string) (parts []string, unit string) {
	if begin := strings.IndexAny(header, "(["); begin > 0 {
		// A unit between brackets within the name, as in Temperature (°F) High.
		end := strings.IndexAny(header[begin:], ")]") + begin
		if end > begin && strings.TrimSpace(header[end+1:]) != "" {
			if u, ok := unitWord(header[begin:end]); ok {
				parts, _ = nameParts(header[:begin] + " " + header[end+1:])
				return parts, u
			}
		}
	}
	parts = strings.FieldsFunc(fold.Replace(strings.ToLower(camel(header))), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '℃' && r != '℉'
	})
	for k := min(4, len(parts)-1); k > 0; k-- {
		if u, ok := unitWords[strings.Join(parts[len(parts)-k:], "")]; ok {
			return parts[:len(parts)-k], u
		}
	}
	return parts, ""
}

// camel puts a blank before a capital that follows a small letter, as in TempMax.
func camel(s string) string {
	small, out := false, strings.Builder{}
	for _, r := range s {
		if small && unicode.IsUpper(r) {
			out.WriteByte(' ')
		}
		small = unicode.IsLower(r)
		out.WriteRune(r)
	}
	return out.String()
}

// unitWord reads a cell that holds a unit alone, such as °C or deg F.
func unitWord(s string) (string, bool) {
	parts := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '℃' && r != '℉'
	})
	u, ok := unitWords[strings.Join(parts, "")]
	return u, ok
}
