package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/gocarina/gocsv"
	"github.com/spf13/pflag"

	"swardcast/forecast/turf"
)

var speciesCommand = &command{
	name:    "species",
	summary: "Every figure of every species with unit, source and standing",
	usage:   "[ID...]",
	help: `Lists the figures a forecast of a species stands on, and how far each can be
trusted: S seen in the source, S2 seen restated, D worked out from seen figures,
M from memory, CP common practice without a source, U the user's own.

The CSV form is also a parameter file: change it and give it to --species. A
file may name only the figures that it changes in a built-in species.

Examples:
  swardcast species tall-fescue
  swardcast species tall-fescue --format csv -o mine.csv
  swardcast window my-station.csv --lat 38.9 --species mine.csv
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var out outputFlags
		out.declare(f, "text", "json", "csv")
		return func(p *program, args []string) error { return p.species(args, &out) }
	},
}

func (p *program) species(args []string, out *outputFlags) error {
	list := turf.All()
	if len(args) > 0 {
		list = nil
		for _, a := range args {
			found, err := findSpecies(a)
			if err != nil {
				return err
			}
			list = append(list, found...)
		}
	}
	return p.give(out, answer{
		text: func(u unitSystem) []byte { return speciesText(list, u) },
		json: func() any { return speciesListJSON(list) },
		csv:  func() ([]byte, error) { return speciesCSV(list) },
	})
}

type figureOut struct {
	Parameter string `json:"parameter"`
	Meaning   string `json:"meaning"`
	Value     number `json:"value"`
	Unit      string `json:"unit"`
	Evidence  string `json:"standing"`
	Source    string `json:"source"`
}

type speciesFiguresOut struct {
	ID         string      `json:"id"`
	Name       string      `json:"name"`
	Parameters []figureOut `json:"parameters"`
}

type speciesListOut struct {
	Schema  string              `json:"schema"`
	Species []speciesFiguresOut `json:"species"`
}

func speciesListJSON(list []turf.Species) speciesListOut {
	out := speciesListOut{Schema: "swardcast.species/1"}
	for i := range list {
		sp := speciesFiguresOut{ID: list[i].ID, Name: list[i].Name}
		for _, p := range list[i].Parameters() {
			sp.Parameters = append(sp.Parameters, figureOut{p.Key, p.Meaning, number(p.Value), p.Unit, string(p.Evidence), p.Source})
		}
		out.Species = append(out.Species, sp)
	}
	return out
}

func speciesCSV(list []turf.Species) ([]byte, error) {
	var rows []speciesRow
	for i := range list {
		for _, p := range list[i].Parameters() {
			value, err := number(p.Value).MarshalCSV()
			if err != nil {
				return nil, err
			}
			rows = append(rows, speciesRow{list[i].ID, cellText(list[i].Name), p.Key, value, p.Unit, string(p.Evidence), cellText(p.Source)})
		}
	}
	var b bytes.Buffer
	err := gocsv.Marshal(rows, &b)
	return b.Bytes(), err
}

func speciesText(list []turf.Species, u unitSystem) []byte {
	var b strings.Builder
	for i := range list {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "%s (%s)\n", list[i].Name, list[i].ID)
		for _, p := range list[i].Parameters() {
			value := fmt.Sprintf("%g %s", p.Value, p.Unit)
			switch {
			case p.Unit == turf.PureNumber:
				value = fmt.Sprintf("%g", p.Value)
			case u == us && p.Key == "plateau":
				value = strings.TrimPrefix(u.difference(p.Value), "+")
			case u == us && p.Unit == turf.Celsius:
				value = fmt.Sprintf("%.1f °F", fahrenheit(p.Value))
			case u == us && p.Unit == turf.DegreeDays:
				value = fmt.Sprintf("%.0f °F d", p.Value*1.8)
			}
			source := p.Evidence.Meaning()
			if p.Source != "" {
				source += ": " + p.Source
			}
			b.WriteString(wrap("  "+pad(p.Key, 15)+padLeft(value, 10)+"  ", p.Meaning+" ["+source+"]"))
		}
	}
	return []byte(b.String())
}
