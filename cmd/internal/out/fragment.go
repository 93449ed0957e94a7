package out

import (
	"swardcast/cmd/internal/page"
	"swardcast/cmd/internal/report"
)

// Fragment is the document as the inside of a page, in the units asked for.
var Fragment = Form{"fragment", HasDocument, func(a *Answer, f *Flags) ([]byte, error) {
	d, err := a.Document(f.System(), report.Live)
	if err != nil {
		return nil, err
	}
	return page.Fragment(d)
}}
