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

// FindSpecies finds the species of a flag --species: a built-in one by its name or the
// beginning of it, or those of a parameter file.
func FindSpecies(p *cli.Program, name string) ([]turf.Species, error) {
	return findSpecies(p, name, func(err error) error { return cli.FlagError("species", name, err) })
}

// NamedSpecies finds the species of an argument likewise.
func NamedSpecies(p *cli.Program, name string) ([]turf.Species, error) {
	return findSpecies(p, name,
		func(err error) error { return cli.ArgumentError(p.Name+" species", name, err) })
}

func findSpecies(p *cli.Program, name string, wrapped func(error) error) ([]turf.Species, error) {
	if strings.ContainsAny(name, `./\`) {
		var list []turf.Species
		var ignored []string
		err := p.Files.Read(name, func(r io.Reader) (err error) {
			list, ignored, err = ReadSpecies(r, name)
			return err
		})
		for _, parameter := range ignored {
			p.Say("%s: %s moved no answer and is ignored: its rows can be deleted", name, parameter)
		}
		return list, err
	}
	ids := SpeciesIDs()
	found := cli.Match(name, ids)
	if len(found) == 1 {
		sp, _ := turf.Find(found[0])
		return []turf.Species{sp}, nil
	}
	var err error
	if hosts := cli.Match(name, hostIDs()); len(found) > 1 {
		err = cli.Valuef(found, "which one, %s?", cli.Or(found))
	} else if len(hosts) == 1 && len(strings.TrimSpace(name)) >= 4 && hosts[0] != noHost {
		return nil, cli.Usagef("--host "+hosts[0]+" --species perennial-ryegrass",
			"--species %s: it is turf that is sown into, not a species that is sown", name)
	} else if near := cli.Nearest(name, ids); len(near) > 0 {
		err = cli.Valuef(near, "there is no such species")
	} else {
		err = cli.Valuef(nil, "there is no such species; there are %s", strings.Join(ids, ", "))
	}
	return nil, wrapped(err)
}

// SpeciesIDs are those of the built-in species.
func SpeciesIDs() []string {
	var ids []string
	for _, sp := range turf.All() {
		ids = append(ids, sp.ID)
	}
	return ids
}

// noHost is the host of bare soil or a cool-season lawn.
const noHost = "none"

// hostIDs are those of the hosts.
func hostIDs() []string {
	var ids []string
	for _, h := range turf.Hosts() {
		ids = append(ids, h.ID)
	}
	return ids
}

// newHost is the flag of the host. A cool-season grass, or bare soil, is no host.
func newHost() *Choice {
	c := NewChoice(turf.Hosts()[0].ID, hostIDs()...)
	c.other = func(typed string) (instead, message string) {
		if len(cli.Match(typed, SpeciesIDs())) > 0 {
			return noHost, "a lawn of a cool-season grass is --host none"
		}
		if bare := strings.Fields(strings.ToLower(typed)); len(bare) > 0 &&
			slices.Contains([]string{"bare", "soil", "dirt", "nothing", "no", "cool", "cool-season", "new"},
				bare[0]) {
			return noHost, "bare soil or a cool-season lawn is --host none"
		}
		return "", ""
	}
	return c
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
// parameter but the plateau and the seeds in a gram. It returns which figures of earlier
// versions it ignored, too.
func ReadSpecies(r io.Reader, file string) (list []turf.Species, ignored []string, err error) {
	t, err := files.OpenTable[SpeciesRow](r, file, "start from swardcast species --format csv")
	if err != nil {
		return nil, nil, err
	}
	for _, n := range needed {
		if !t.Has(n) {
			return nil, nil, t.Faulty(1, fmt.Sprintf("the header has no column %q", n))
		}
	}
	for row, err := range t.Rows() {
		if err != nil {
			return nil, nil, err
		}
		i := slices.IndexFunc(list, func(s turf.Species) bool { return s.ID == row.Species })
		if i < 0 {
			if len(list) == maxOwnSpecies {
				return nil, nil, t.Fault("species", "the file has more than %d species", maxOwnSpecies)
			}
			if row.Species == "" {
				return nil, nil, t.Fault("species", "the species has no name")
			}
			if !plainID(row.Species) {
				return nil, nil, t.Fault(
					"species",
					"%q cannot be the ID of a species: up to %d letters, digits, - and _ can",
					row.Species,
					MaxIDLength,
				)
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
				return nil, nil, t.Fault("name", "the name is longer than %d characters", maxNameLength)
			}
			list[i].Name = name
		}
		if slices.Contains(formerParameters, row.Parameter) {
			if !slices.Contains(ignored, row.Parameter) {
				ignored = append(ignored, row.Parameter)
			}
			continue
		}
		parameters := list[i].Parameters()
		k := slices.IndexFunc(parameters, func(p turf.Parameter) bool { return p.Key == row.Parameter })
		if k < 0 {
			return nil, nil, t.Fault("parameter", "unknown parameter %q", row.Parameter)
		}
		text := row.Value
		if t.Semicolons() {
			text = strings.Replace(text, ",", ".", 1) // the decimal sign of such a spreadsheet
		}
		value, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
			return nil, nil, t.Fault("value", "%q is not a number", row.Value)
		}
		builtIn := turf.All()[0]
		unit := builtIn.Parameters()[k].Unit
		if strings.ContainsAny(row.Unit, "Â\ufffd") || !utf8.ValidString(row.Unit) {
			return nil, nil, t.Fault("unit", "%q was saved in another encoding than UTF-8: save the file as CSV UTF-8, "+
				"or write the unit as %s", row.Unit, asciiUnit(unit))
		}
		if row.Unit != "" && row.Unit != unit && row.Unit != asciiUnit(unit) {
			return nil, nil, t.Fault("unit", "%s is in %s, not in %s", row.Parameter, unit, row.Unit)
		}
		figure := turf.Figure{Value: value, Unit: unit, Evidence: turf.Evidence(row.Evidence),
			Source: words.Harmless(row.Source)}
		switch was := parameters[k].Figure; {
		case figure.Evidence == "":
			figure.Evidence = turf.OwnFigure
		case figure.Evidence.Meaning() == "":
			return nil, nil, t.Fault("standing", "unknown standing %q", row.Evidence)
		case was.Evidence != turf.OwnFigure && was.Value != value:
			// The source of a built-in figure does not vouch for another.
			figure.Evidence, figure.Source = turf.OwnFigure, fmt.Sprintf("changed from %g", was.Value)
		}
		*parameters[k].Figure = figure
	}
	for i := range list {
		if err := list[i].Check(); err != nil {
			return nil, nil, &recordfile.Error{File: file, Message: fmt.Sprintf("%s: %v", list[i].ID, err)}
		}
	}
	if len(list) == 0 {
		return nil, nil, t.Faulty(0, "the file holds no species")
	}
	return list, ignored, nil
}

// formerParameters are figures that earlier versions wrote.
var formerParameters = []string{"leaf_interval"}

// asciiUnit is a unit as it can be typed in a spreadsheet that has no ° in its encoding.
func asciiUnit(unit string) string { return strings.ReplaceAll(unit, "°", "deg ") }

const (
	maxOwnSpecies = 100 // each takes as long as a window
	MaxIDLength   = 40
	maxNameLength = 60
)

// plainID tells whether an ID can be typed, and stands for itself in a
// spreadsheet.
func plainID(id string) bool {
	return utf8.RuneCountInString(id) <= MaxIDLength && !strings.HasPrefix(id, "-") &&
		strings.IndexFunc(id,
			func(r rune) bool { return r != '-' && r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) }) < 0
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
