package out

import (
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/page"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// HTML is the document as a page, with both systems of units on it.
var HTML = Form{"html", HasDocument, func(a *Answer, f *Flags) ([]byte, error) {
	if a.Matrix != nil {
		m, err := a.Matrix(f.System())
		if err != nil {
			return nil, err
		}
		if m != nil {
			return page.Region(m, report.MatrixKind, f.System(), cli.Version())
		}
	}
	us, err := a.Document(words.US, report.Page)
	if err != nil {
		return nil, err
	}
	metric, err := a.Document(words.Metric, report.Page)
	if err != nil {
		return nil, err
	}
	return page.HTML(us, metric, f.System(), cli.Version())
}}
