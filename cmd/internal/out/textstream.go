package out

import (
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// A Column is one of a table that is written row by row: its width stands before its
// cells are known.
type Column[R any] struct {
	Head  string
	Width int // in cells, with the gap to the next
	Right bool
	Cell  func(R) string
}

func (c *Column[R]) set(text string) string {
	if c.Right {
		return words.PadLeft(text, c.Width)
	}
	return words.Pad(words.Cut(text, c.Width-1), c.Width)
}

// TextStream is a table for reading, with a line above its heads, and what is beneath
// the last row.
func TextStream[R any](above string, columns []Column[R], note string, beneath ...report.Section) *Stream[R] {
	return &Stream[R]{
		Head: func() ([]byte, error) {
			line := above + "\n"
			for _, c := range columns {
				line += c.set(c.Head)
			}
			return words.HarmlessLines([]byte(line + "\n")), nil
		},
		Rows: func(rows []R, _ bool) ([]byte, error) {
			var b strings.Builder
			for _, r := range rows {
				for _, c := range columns {
					b.WriteString(c.set(c.Cell(r)))
				}
				b.WriteString("\n")
			}
			return words.HarmlessLines([]byte(b.String())), nil
		},
		Failed: func(p report.MatrixPlace) ([]byte, error) {
			return words.HarmlessLines([]byte(columns[0].set(p.Name) + "no answer\n" +
				words.Wrap(strings.Repeat(" ", columns[0].Width), p.Why))), nil
		},
		Foot: func() ([]byte, error) {
			text := "\n" + words.Wrap("", note)
			for i := range beneath {
				text += sectionText(&beneath[i])
			}
			return words.HarmlessLines([]byte(text)), nil
		},
	}
}
