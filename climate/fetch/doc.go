// Package fetch finds weather stations near a place and fetches their daily records
// and forecasts from public services:
//
//   - GHCN-Daily of the US National Centers for Environmental Information: the list of
//     stations, what each measured, and its whole record. The public bucket of the
//     same files stands in where the first address does not answer.
//   - the US National Weather Service: forecasts for the United States.
//   - MET Norway: forecasts for any other place.
//
// Start with a [Client]: [Client.Index] returns the stations, [Index.Search] those
// that suit a place, [Client.Record] the record of one, [Client.Forecast] the days
// ahead of a place.
//
// A client asks only when one of these is called, and sends nothing but the request:
// the file, or the position of a station to four decimals. It speaks https, over one
// connection at a time, follows a redirect only to a host it was given, and bounds
// size, time and type of every answer. An answer that is not what was asked for is
// refused before it reaches the [Store], which then keeps what it had. The store keeps
// each answer with its ETag and dates, so that one that has not changed is not sent
// again.
//
// Temperatures are in °C, precipitation in mm, and days are civil days of the place.
//
// References: Menne, Durre, Vose, Gleason & Houston 2012, An overview of the Global
// Historical Climatology Network-Daily database, J. Atmos. Oceanic Technol. 29:897–910.
// Data of NOAA are in the public domain. Forecasts of MET Norway are under CC BY 4.0 and
// must be attributed where they are used ([Service.Attribution]).
package fetch
