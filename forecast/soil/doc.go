// Package soil estimates the daily mean soil temperature under grass, at 5 and
// 10 cm, from daily air temperatures, and tells how far off it can be.
//
// Start with [Turf] and its method [Model.Estimate]. Its coefficients were
// fitted by the program in cmd/fitsoil on grass-covered, unwatered stations of
// the humid United States; docs/validation.md tells how well it does where it
// has not been fitted. Temperatures are in °C.
package soil
