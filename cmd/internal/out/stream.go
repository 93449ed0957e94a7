package out

import (
	"io"
	"slices"

	"swardcast/cmd/internal/report"
)

// A Stream is a form of many rows that is written piece by piece, so that an answer
// about any number of places needs room for one. The pieces put together are one whole.
type Stream[R any] struct {
	Head func() ([]byte, error)                     // before the first row of a list
	Rows func(rows []R, first bool) ([]byte, error) // in whole lines; first: none was written before
	Foot func() ([]byte, error)                     // behind the last row of a list

	// Failed is what stands for a place without an answer. It is nil for a form that
	// leaves such places out.
	Failed func(report.MatrixPlace) ([]byte, error)

	// Back returns the texts of a row by name from its line, false where the line is
	// of no row. It is nil for a form that cannot be resumed.
	Back func(line string) (fields map[string]string, ok bool)

	// Apart is of forms whose answers cannot be put together: each has its head and
	// its foot.
	Apart bool
}

func nothing() ([]byte, error) { return nil, nil }

// A StreamWriter writes a stream.
type StreamWriter[R any] struct {
	Form        *Stream[R]
	To          io.Writer
	First, Last bool // of the answers that are put together: with the head, with the foot
	Headed      bool // the head is written
	Begun       bool // a row is written

	waiting []byte // places without an answer before the first with one
}

// Add writes some rows in one piece.
func (w *StreamWriter[R]) Add(rows []R) error {
	text, err := w.Form.Rows(rows, !w.Begun)
	if err != nil {
		return err
	}
	head, err := w.head()
	if err != nil {
		return err
	}
	w.Begun = true
	_, err = w.To.Write(slices.Concat(head, w.waiting, text))
	w.waiting = nil
	return err
}

// AddFailed writes a place that has no answer, in a form that has a row for it. Before the
// first answer it waits: where nothing has an answer nothing is written.
func (w *StreamWriter[R]) AddFailed(p report.MatrixPlace) error {
	if w.Form.Failed == nil {
		return nil
	}
	text, err := w.Form.Failed(p)
	if err != nil {
		return err
	}
	if !w.Begun {
		w.waiting = append(w.waiting, text...)
		return nil
	}
	_, err = w.To.Write(text)
	return err
}

// head is the head where it is still to be written.
func (w *StreamWriter[R]) head() ([]byte, error) {
	if w.Headed || !w.First && !w.Form.Apart {
		return nil, nil
	}
	w.Headed = true
	return w.Form.Head()
}

// End writes what stands behind the last row.
func (w *StreamWriter[R]) End() error {
	text, err := w.head()
	if err != nil {
		return err
	}
	if w.Last || w.Form.Apart {
		foot, err := w.Form.Foot()
		if err != nil {
			return err
		}
		text = slices.Concat(text, foot)
	}
	_, err = w.To.Write(text)
	return err
}
