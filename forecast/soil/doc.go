// Package soil estimates the daily mean soil temperature under grass, at 5 and
// 10 cm, from daily air temperatures, and the error of the estimate.
//
// Start with [Turf] and its method [Model.Estimate]. Its coefficients were
// fitted by the program in cmd/fitsoil on grass-covered, unwatered stations of
// the humid United States; docs/validation.md gives its error at stations left out
// of the fit. Temperatures are in °C.
//
// [Calibrate] corrects the estimate by readings of a site; [ResidualAt] gives its
// error. [ErrDepth], [ErrReading] and [ErrSuspect] are distinguished by
// [errors.Is].
package soil
