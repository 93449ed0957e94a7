// Package forecast tells until which day a cool-season grass can be sown at a
// weather station and still establish before frost and dormancy end the season
// for seedlings.
//
// # Where to start
//
// Read a record (package recordfile reads files, or fill in a [climate.Record]
// yourself), take out what cannot be believed (package check), and make a
// [Station] of it with [NewStation]. Everything is asked of the station:
//
//   - [Station.Window]: the days to sow on, when sowing opens, the last safe dates,
//     the chance of every sow date, and warnings
//   - [Station.Sensitivities], [Station.Instead]: what would change the last safe
//     date, and what can be done once it is past
//   - [Station.Dates]: the same without the sow dates, in a small part of the time
//   - [Station.Ensemble] and [Ensemble.Outlook]: what comes of one sowing, given
//     the season so far and, where there is one, a weather forecast
//   - [Ensemble.Judge]: a first pass that came up thin, slow or lost
//   - [Ensemble.Outlook] for each species and [CompactLetters]: species side by side
//   - [Station.Hindcast]: how often past forecasts would have been right
//   - [Region]: many stations, some at a time
//
// # Options
//
// The zero value of [Options] is the usual question: perennial ryegrass sown
// into bermudagrass, tillered before freeze or dormancy. What an answer took for
// them stands in its field Options, without a zero left.
//
// Past seasons are brought to the climate of the season that is forecast where
// their trend is clear ([Trend], [TrendOff]).
//
// # Units and days
//
// Temperatures are in °C, thermal time in °C d, rain in mm. A day is a civil date
// ([climate.Day]), never an instant: no time zone can shift it. NaN is what is
// not known, a nil day what did not come before the season ended, +Inf a number
// of days that never ends.
//
// # Errors
//
// Errors can be told apart with [errors.Is]; their text is for people. Of the
// data: [climate.ErrRecord], [climate.ErrTooShort], [ErrNoLatitude],
// [ErrHemisphere], [ErrNoAutumn], [ErrNoSeasons], [ErrFewSeasons], [ErrNoRain],
// [ErrNoDaysAhead]. Of the question: [ErrOptions], [ErrOutsideRecord],
// [ErrSowDate], [ErrStand], [climate.ErrThreshold], [soil.ErrDepth],
// [soil.ErrReading], [soil.ErrSuspect]. Of a region: [ErrNoStation], and whatever a site gives.
//
// # Concurrency
//
// A Station, an Ensemble and all answers can be used by several goroutines at
// once. What takes long takes a context. Nothing prints, and nothing reads a
// file or a clock.
package forecast
