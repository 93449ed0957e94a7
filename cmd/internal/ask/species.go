package ask

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// FindSpecies finds a built-in species by its ID, or reads a parameter file.
func FindSpecies(storage cli.Storage, name string) ([]turf.Species, error) {
	if sp, ok := turf.Find(name); ok {
		return []turf.Species{sp}, nil
	}
	if strings.ContainsAny(name, `./\`) {
		var list []turf.Species
		err := storage.Read(name, func(r io.Reader) (err error) {
			list, err = ReadSpecies(r, name)
			return err
		})
		return list, err
	}
	var near []string
	for _, sp := range turf.All() {
		if strings.Contains(sp.ID, name) || strings.Contains(name, strings.Split(sp.ID, "-")[0]) {
			near = append(near, sp.ID)
		}
	}
	hint := "swardcast species lists them"
	if len(near) > 0 {
		hint = "--species " + strings.Join(near, " or ")
	}
	return nil, cli.Usagef(hint, "unknown species %q", name)
}

// SpeciesRow is one figure of a species: a row of swardcast species --format
// csv, which is also how a user writes a species of their own.
type SpeciesRow struct {
	Species   string `csv:"species"`
	Name      string `csv:"name"`
	Parameter string `csv:"parameter"`
	Value     string `csv:"value"`
	Unit      string `csv:"unit"`
	Evidence  string `csv:"standing"`
	Source    string `csv:"source"`
}

// needed are the columns a parameter file must have.
var needed = []string{"species", "parameter", "value"}

// ReadSpecies reads species from a parameter file. A species that has the ID of
// a built-in one changes the figures that it names; any other must name every
// parameter but the plateau and the seeds in a gram.
func ReadSpecies(r io.Reader, file string) ([]turf.Species, error) {
	t, err := files.OpenTable[SpeciesRow](r, file, "start from swardcast species --format csv")
	if err != nil {
		return nil, err
	}
	for _, n := range needed {
		if !t.Has(n) {
			return nil, t.Faulty(1, fmt.Sprintf("the header has no column %q", n))
		}
	}
	var list []turf.Species
	for row, err := range t.Rows() {
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(list, func(s turf.Species) bool { return s.ID == row.Species })
		if i < 0 {
			if row.Species == "" {
				return nil, t.Fault("species", "the species has no name")
			}
			if !plainID(row.Species) {
				return nil, t.Fault("species", "%q cannot be the ID of a species: up to %d letters, digits, - and _ can", row.Species, MaxIDLength)
			}
			sp, ok := turf.Find(row.Species)
			if !ok {
				sp = ownSpecies(row.Species)
			}
			list = append(list, sp)
			i = len(list) - 1
		}
		if name := strings.TrimSpace(words.Harmless(row.Name)); name != "" {
			if utf8.RuneCountInString(name) > maxNameLength {
				return nil, t.Fault("name", "the name is longer than %d characters", maxNameLength)
			}
			list[i].Name = name
		}
		parameters := list[i].Parameters()
		k := slices.IndexFunc(parameters, func(p turf.Parameter) bool { return p.Key == row.Parameter })
		if k < 0 {
			return nil, t.Fault("parameter", "unknown parameter %q", row.Parameter)
		}
		value, err := strconv.ParseFloat(row.Value, 64)
		if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
			return nil, t.Fault("value", "%q is not a number", row.Value)
		}
		builtIn := turf.All()[0]
		unit := builtIn.Parameters()[k].Unit
		if row.Unit != "" && row.Unit != unit {
			return nil, t.Fault("unit", "%s is in %s, not in %s", row.Parameter, unit, row.Unit)
		}
		figure := turf.Figure{Value: value, Unit: unit, Evidence: turf.Evidence(row.Evidence), Source: words.Harmless(row.Source)}
		switch was := parameters[k].Figure; {
		case figure.Evidence == "":
			figure.Evidence = turf.OwnFigure
		case figure.Evidence.Meaning() == "":
			return nil, t.Fault("standing", "unknown standing %q", row.Evidence)
		case was.Evidence != turf.OwnFigure && was.Value != value:
			// The source of a built-in figure does not vouch for another.
			figure.Evidence, figure.Source = turf.OwnFigure, fmt.Sprintf("changed from %g", was.Value)
		}
		*parameters[k].Figure = figure
	}
	for i := range list {
		if err := list[i].Check(); err != nil {
			return nil, &recordfile.Error{File: file, Message: fmt.Sprintf("%s: %v", list[i].ID, err)}
		}
	}
	if len(list) == 0 {
		return nil, t.Faulty(0, "the file holds no species")
	}
	return list, nil
}

const (
	MaxIDLength   = 40
	maxNameLength = 60
)

// plainID tells whether an ID can be typed, and stands for itself in a
// spreadsheet.
func plainID(id string) bool {
	return utf8.RuneCountInString(id) <= MaxIDLength && !strings.HasPrefix(id, "-") &&
		strings.IndexFunc(id, func(r rune) bool { return r != '-' && r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) }) < 0
}

// ownSpecies is a species of the user's own before its figures are read.
func ownSpecies(id string) turf.Species {
	sp := turf.Species{ID: id, Name: strings.ReplaceAll(id, "-", " ")}
	for _, p := range sp.Parameters() {
		p.Figure.Evidence = turf.OwnFigure
	}
	ryegrass, _ := turf.Find("perennial-ryegrass")
	sp.Plateau = ryegrass.Plateau
	return sp
}
