// Package forecast works out until which day a cool-season grass can be sown near a
// weather station and still establish before a killing freeze or the dormancy of
// the turf ends the season for seedlings.
//
// # Where to start
//
// Read a record (package recordfile reads files, or fill in a [climate.Record]
// yourself), remove suspect values (package check), and make a [Station] of it with
// [NewStation]. All questions are asked of the station:
//
//   - [Station.Window]: the days to sow on, when sowing opens, the last safe dates,
//     the chance of every sow date, and warnings
//   - [Station.Sensitivities], [Station.Instead]: what would change the last safe
//     date, and what can be done once it is past
//   - [Station.Dates]: the same without the sow dates, in much less time
//   - [Station.Ensemble] and [Ensemble.Outlook]: the outlook for one sowing, given
//     the season so far and, where there is one, a weather forecast
//   - [Ensemble.Judge]: whether a thin first pass is slow or lost
//   - [Ensemble.Outlook] for each species and [CompactLetters]: a comparison of
//     species
//   - [Station.SoilYear] and [Station.SoilDays]: soil temperatures and their normal
//   - [Station.Calibrate]: the soil calibrated by readings of the site
//   - [Station.Hindcast]: how often past forecasts would have been right
//   - [Region]: many stations, several at a time
//
// # Options
//
// The zero value of [Options] is the usual question: perennial ryegrass sown
// into bermudagrass, tillered before freeze or dormancy. The field Options of an
// answer has the options with every default filled in.
//
// Past seasons are brought to the climate of the season that is forecast where
// their trend is clear ([Trend], [TrendOff]).
//
// # Units and days
//
// Temperatures are in °C, thermal time in °C d, rain in mm. A day is a civil date
// ([climate.Day]), never an instant: no time zone can shift it. NaN means not
// known; a nil day, not before the season ended; +Inf days, not reached.
//
// # Errors
//
// Errors are distinguished by [errors.Is]; their text is for people. Of the
// data: [climate.ErrRecord], [climate.ErrTooShort], [ErrNoLatitude],
// [ErrHemisphere], [ErrNoAutumn], [ErrNoSeasons], [ErrFewSeasons], [ErrNoRain],
// [ErrNoDaysAhead]. Of the question: [ErrOptions], [ErrOutsideRecord],
// [ErrSowDate], [ErrStand], [climate.ErrThreshold], [soil.ErrDepth],
// [soil.ErrReading], [soil.ErrSuspect]. Of a region: [ErrNoStation], and whatever a site gives.
//
// # Concurrency
//
// A Station, an Ensemble and all answers can be used by several goroutines at
// once. [Station.Hindcast] and [Region] take a context, since they take long.
// Nothing prints, and nothing reads a file or a clock.
package forecast
