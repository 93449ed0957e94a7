package out

import (
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/page"
)

// A MapFoot is what stands beneath the table of a page with a map.
type MapFoot struct {
	Sums               []page.RegionSum
	Settings, Accuracy string
	Cautions           []string
}

// MapStream is a page with a table of places, of which its script makes a map. foot is
// asked once, behind the last row.
func MapStream[R any](p *page.RegionPage, row func(R) page.RegionRow, foot func() MapFoot) *Stream[R] {
	p.Version = cli.Version()
	return &Stream[R]{Apart: true,
		Head: func() ([]byte, error) { return p.Head(), nil },
		Rows: func(rows []R, _ bool) ([]byte, error) {
			var list []page.RegionRow
			for _, r := range rows {
				list = append(list, row(r))
			}
			return p.Rows(list), nil
		},
		Foot: func() ([]byte, error) {
			f := foot()
			return p.Foot(f.Sums, f.Settings, f.Accuracy, f.Cautions), nil
		},
	}
}
