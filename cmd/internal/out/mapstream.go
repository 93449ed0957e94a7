package out

import (
	"bytes"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/page"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// MatrixStream is a page with a map and a table of places. Since the scales of the map are
// those of all places it is written behind the last one: what it keeps of each is a few
// dozen bytes a species. place is what a station's rows come to.
func MatrixStream[R any](m *report.Matrix, kind string, u words.System, place func([]R) report.MatrixPlace) *Stream[R] {
	s := gathered(m, place)
	s.Foot = func() ([]byte, error) { return page.Region(m, kind, u, cli.Version()) }
	return s
}

// LinesStream is a map file of lines of equal last safe date between the places.
func LinesStream[R any](m *report.Matrix, u words.System, place func([]R) report.MatrixPlace) *Stream[R] {
	s := gathered(m, place)
	s.Foot = func() ([]byte, error) {
		var b bytes.Buffer
		err := writeLine(&b, m.LinesJSON(u))
		return b.Bytes(), err
	}
	return s
}

// gathered is a form that is written behind the last place.
func gathered[R any](m *report.Matrix, place func([]R) report.MatrixPlace) *Stream[R] {
	return &Stream[R]{Apart: true,
		Head: nothing,
		Rows: func(rows []R, _ bool) ([]byte, error) {
			m.Places = append(m.Places, place(rows))
			return nil, nil
		},
		Failed: func(p report.MatrixPlace) ([]byte, error) {
			m.Places = append(m.Places, p)
			return nil, nil
		},
	}
}
