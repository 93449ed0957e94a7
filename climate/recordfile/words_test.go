package recordfile

import (
	"slices"
	"testing"
)

// The names of columns that people have: what each must be taken for, "" for
// nothing.
func TestColumnNames(t *testing.T) {
	for _, c := range []struct {
		role  role
		unit  string
		names []string
	}{
		{roleTMax, "", []string{"TMAX", "tx", "Max Temp", "Maximum Temperature", "High", "Hi Temp", "Temp High",
			"Daily High",
			"max_temp", "MaxTemp", "TempMax", "air_temp_max", "Maximum Air Temperature", "Daily Maximum Temperature",
			"Temperature, Maximum", "temperatura maxima", "Temperatura Máxima", "température maximale",
			"Maximaltemperatur",
			"Höchsttemperatur", "Lufttemperatur max", "Temperatura massima", "maximumtemperatuur", "Ylin lämpötila",
			"Maksimumstemperatur (døgn)", "Højeste temperatur", "TEMPERATURA MAXIMA, DIARIA", "TXK", "tlmax",
			"tre200dx",
			"T2M_MAX", "temperature_2m_max", "T_DAILY_MAX", "TOBS_MAX0"[:4] + "_MAX", "actual_max_temp",
			"AirTC_Max"[:3] + "_Max",
			"Outdoor High Temp", "Observed Max Temp", "T.Max", "最高気温"}},
		{roleTMax, "C", []string{"tmax_c", "TmaxC", "Maximum temperature (Degree C)", "Max Temp (°C)", "tmax (deg c)",
			"Temp Max [℃]", "最高気温(℃)", "Temperature High °C", "TEMPERATURA MAXIMA, DIARIA(°C)", "TemperatureHighC"}},
		{roleTMax, "F", []string{"max_temp_f", "tmaxF", "High Temp - °F", "tmax (degrees F)", "hi_temp_degF"}},
		{roleTMax, "K", []string{"tmax_k", "Maximum Temperature (K)", "tasmax (kelvin)"}},
		{roleTMin, "", []string{"TMIN", "Low", "Low Temp", "Tiefsttemperatur", "Alin lämpötila", "temperatura minima",
			"température minimale", "Laveste temperatur", "TNK", "tre200dn", "tlmin", "Minimum Air Temperature"}},
		{roleDate, "", []string{"Date", "DATUM", "Fecha", "Data", "Date/Time", "MESS_DATUM", "AAAAMMJJ", "YYYYMMDD",
			"Dato",
			"LST_DATE", "UTC_DATE", "Date & Time", "Timestamp", "Local Date", "Observation Date", "Date of observation",
			"Tid(norsk normaltid)", "Representativt dygn", "reference_timestamp", "Data Medicao", "年月日", "valid"}},
		{roleStation, "", []string{"STATION", "# STN", "NUM_POSTE", "Climate ID", "STAID", "Stations_ID",
			"Bureau of Meteorology station number", "station/location", "Stasjon", "Site ID", "WBANNO"}},
		{roleName, "", []string{"Station Name", "Location", "NOM_USUEL", "Name"}},
		{rolePrecip, "mm", []string{"PRCP_MM", "Rainfall amount (millimetres)", "Total Precip (mm)"}},
		{"", "", []string{"Soil Max", "soil_tmax", "Grass Minimum Temperature", "Min RH", "Max Dew Point",
			"record_max_temp",
			"average_max_temp", "Mean Temp", "Max Wind", "max_rh", "Time of max temp", "Max Temp Flag", "Avg High",
			"Normal High",
			"Indoor Temperature", "In Temp", "Wet bulb max", "Sea Temperature", "hit", "Remark", "Reading A", "TXH",
			"Heat Index High"}},
	} {
		for _, name := range c.names {
			ms := meanings(name)
			i := slices.IndexFunc(ms, func(m match) bool { return m.role == c.role && m.fits() })
			switch {
			case c.role == "" && len(ms) == 0, i >= 0 && ms[i].unit == c.unit:
			default:
				t.Errorf("%q means %v, want %s in %q", name, ms, c.role, c.unit)
			}
		}
	}
}
