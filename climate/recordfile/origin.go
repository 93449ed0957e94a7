package recordfile

import (
	"fmt"
	"regexp"
	"strings"
)

// notObserved are words that data sets which are computed, not observed, have in their
// files or names: reanalyses, models, and observations spread over a grid.
var notObserved = regexp.MustCompile(`(?i)\b(era-?5(?:-land)?|reanalysis|merra-?2?|gridded|grid ?cell|grid ?point|` +
	`daymet|prism|gridmet|nclimgrid|e-obs|agera5|downscaled|cmip\d|cordex|modell?ed|model (?:run|output|data)|` +
	`climate model|interpolated|hindcast|cpc global|ncep|jra-?55)\b`)

// modelNames are the names of columns that such data sets have: the temperature at 2 m
// by the names of the models' variables.
var modelNames = regexp.MustCompile(
	`(?i)^\W*(?:t2m|tas|tasmax|tasmin|temperature_?2m|mx2t|mn2t|2m_temperature)(?:\W|_|$)`,
)

// origin is the caution of a series that is not observed, "" for one that may be.
func (p *parser) origin(above string) string {
	word := ""
	for _, text := range []string{above, strings.Join(p.layout.header, ","), strings.ReplaceAll(p.file, "_", " ")} {
		if m := notObserved.FindString(text); m != "" && word == "" {
			word = m
		}
	}
	for _, r := range []role{roleTMax, roleTMin, roleTemp} {
		if i := p.layout.column(r); i >= 0 && word == "" && modelNames.MatchString(p.layout.header[i]) {
			word = strings.TrimSpace(p.layout.header[i])
		}
	}
	if word == "" {
		return ""
	}
	return fmt.Sprintf("The series is computed by a model or for a grid, not observed (%s): it smooths extremes, and "+
		"frost and heat of the site can differ by degrees. Hold it against a thermometer there.", quoted(word))
}

// otherThings are what the highest and lowest of a day can be of beside the air.
var (
	otherThings = regexp.MustCompile(`(?i)\b(?:soil|ground|grass|dew ?-?point|humidity|water|sea|lake|wind|pressure|` +
		`boden\w*|suelo|sol|solo|terreno|bodem\w*)\b`)
	airWord = regexp.MustCompile(`(?i)\bair\b|luft|lucht|aire\b|aria\b`)
)

// ofAnother says what the columns max and min seem to be the extremes of where nothing
// in their names says the air, "" where nothing says anything else.
func (l *layout) ofAnother(above string) string {
	if !l.generic {
		return ""
	}
	if i := l.column(roleTMax) - 1; i >= 0 && l.roles[i] == roleNone {
		if s := strings.TrimSpace(l.header[i]); otherThings.MatchString(s) && !strings.ContainsAny(s, "0123456789") {
			return s
		}
	}
	if airWord.MatchString(above) {
		return ""
	}
	return otherThings.FindString(above)
}
