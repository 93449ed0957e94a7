package region

import (
	"errors"
	"fmt"
	"strings"

	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/words"
)

// An earlier is what an output that is resumed holds already.
type earlier struct {
	writer   *out.StreamWriter[Row]
	species  []string // of each station, in their order
	settings string
	done     map[string]bool // files of the stations with all their rows

	head, foot string
	rows       int // of the station that the line before is of
	file       string
}

func newEarlier(w *out.StreamWriter[Row], species []string, settings string) (*earlier, error) {
	head, err := w.Form.Head()
	if err != nil {
		return nil, err
	}
	foot, err := w.Form.Foot()
	if err != nil {
		return nil, err
	}
	return &earlier{writer: w, species: species, settings: settings, done: map[string]bool{},
		head: strings.TrimSuffix(string(head), "\n"), foot: strings.TrimSuffix(string(foot), "\n")}, nil
}

// keep is a [files.Keep]: what is there stays up to the last station with all its rows.
func (e *earlier) keep(n int, line string) (bool, error) {
	if n == 1 && e.head != "" && (e.writer.First || e.writer.Form.Apart) {
		if line != e.head {
			return false, errors.New("this is not the head of such an answer")
		}
		e.writer.Headed = true
		return true, nil
	}
	fields, ok := e.writer.Form.Back(line)
	if s, has := fields["schema"]; has && s != schema {
		ok = false
	}
	file := fields["file"]
	switch {
	case !ok && line == e.foot && e.rows == 0:
		return false, nil
	case !ok || file == "" || fields["species_id"] != e.species[e.rows] || e.rows > 0 && file != e.file:
		return false, errors.New("this is no row of such an answer")
	case fields["settings_text"] != e.settings:
		return false, fmt.Errorf("the row is of other settings: %s", fields["settings_text"])
	}
	e.file = file
	if e.rows++; e.rows < len(e.species) {
		return false, nil
	}
	e.rows, e.done[file], e.writer.Headed, e.writer.Begun = 0, true, true, true
	return true, nil
}

// has reports whether a station is there. A file's name may stand as a cell of CSV.
func (e *earlier) has(file string) bool {
	name := words.Harmless(file)
	return e.done[name] || e.done[words.Cell(name)]
}
