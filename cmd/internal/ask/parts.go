package ask

import (
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
	"swardcast/forecast/turf"
)

// A Part is one of several areas that are sown together.
type Part struct {
	Name    string
	AreaM2  float64
	Use     turf.Use
	RateGM2 float64 // 0: the published one
}

// Parts are the areas of a plan as they are typed, "greens: 12000ft2, putting-green".
type Parts []Part

// DeclareParts declares the flag.
func DeclareParts(f *pflag.FlagSet) *Parts {
	p := &Parts{}
	f.Var(p, "part", "one of several areas, such as 'greens: 12000ft2, putting-green' or 'tees: 0.2ac, fairway, 10lb/1000ft2'; "+
		"may be repeated")
	return p
}

func (p *Parts) String() string { return "" }

// Type is what the help shows.
func (p *Parts) Type() string { return "NAME: AREA, USE[, RATE]" }

// Example is a value that can be typed.
func (p *Parts) Example() string { return "'greens: 12000ft2, putting-green'" }

// Set reads one part.
func (p *Parts) Set(s string) error {
	name, rest, ok := strings.Cut(s, ":")
	name = strings.TrimSpace(name)
	fields := strings.Split(rest, ",")
	example := []string{p.Example()}
	switch {
	case !ok || name == "" || len(name) > maxNameLength || len(fields) < 2 || len(fields) > 3:
		return cli.Valuef(example, "write a name, an area and a use")
	case slices.ContainsFunc(*p, func(x Part) bool { return x.Name == name }):
		return cli.Valuef(nil, "%q stands twice", name)
	case !printable(name):
		return cli.Valuef(example, "write the name in plain letters")
	}
	part := Part{Name: name}
	area := Quantity{kind: "AREA", units: areaUnits}
	if err := area.Set(strings.TrimSpace(fields[0])); err != nil {
		return cli.Valuef(example, "%q is no area", strings.TrimSpace(fields[0]))
	}
	part.AreaM2 = area.Value
	use := NewChoice(string(turf.HomeLawn), Names(turf.Uses())...)
	if err := use.Set(strings.TrimSpace(fields[1])); err != nil {
		return cli.Valuef(example, "%q is no use; one of %s", strings.TrimSpace(fields[1]), strings.Join(Names(turf.Uses()), ", "))
	}
	part.Use = turf.Use(use.Value)
	if len(fields) == 3 {
		rate := Quantity{kind: "RATE", units: rateUnits}
		if err := rate.Set(strings.TrimSpace(fields[2])); err != nil {
			return cli.Valuef([]string{"'tees: 0.2ac, fairway, 10lb/1000ft2'"}, "%q is no rate", strings.TrimSpace(fields[2]))
		}
		part.RateGM2 = rate.Value
	}
	*p = append(*p, part)
	return nil
}

func printable(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f })
}

// NeedOf turns the flags of the seed into what one part needs.
func (s *SeedFlags) NeedOf(sp turf.Species, part *Part) (*turf.Need, error) {
	one := *s
	one.area = Quantity{Value: part.AreaM2, Given: true}
	one.rectangles, one.circles, one.left = nil, nil, Quantity{}
	one.use = NewChoice(string(part.Use), Names(turf.Uses())...)
	if part.RateGM2 > 0 {
		one.rate = Quantity{Value: part.RateGM2, Given: true}
	}
	return one.Need(sp, 1)
}

// HasArea reports whether an area is given by the flags of the seed themselves.
func (s *SeedFlags) HasArea() bool {
	return s.area.Given || len(s.rectangles) > 0 || len(s.circles) > 0
}
