package page

import (
	"errors"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Region returns an error: a browser answers for one station, and holds no map.
func Region(*report.Matrix, string, words.System, string) ([]byte, error) {
	return nil, errors.New("the app has no map of several stations: give the files of one")
}
