package ask

import (
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
)

// A percent is a flag that takes a percentage: 40, 40% or 40 percent. What looks like
// a fraction is refused.
type percent struct {
	to   *float64
	of   string // what it is a share of
	most float64
}

// DeclarePercent declares a flag of a percentage from 0 to most. of says what it is a
// share of, as the message about a fraction says it.
func DeclarePercent(f *pflag.FlagSet, to *float64, name string, usual, most float64, of, usage string) {
	*to = usual
	f.Var(&percent{to, of, most}, name, usage)
}

func (x *percent) String() string {
	if x.to == nil {
		return "0"
	}
	return strconv.FormatFloat(*x.to, 'g', -1, 64)
}
func (x *percent) Type() string    { return "PERCENT" }
func (x *percent) Example() string { return "40%" }

func (x *percent) Set(s string) error {
	text := strings.ToLower(strings.TrimSpace(s))
	bare := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(text, "cent"), "per"), "%")
	v, ok := plainNumber(strings.TrimSpace(bare))
	if !ok {
		return cli.Valuef([]string{x.Example()}, "write a number of percent")
	}
	shown := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	switch signed := bare != text; {
	case signed:
	case v > 0 && v < 1:
		return cli.Valuef([]string{shown(100*v) + "%"}, "did you mean %s? Write %[1]s%% (%s)", shown(100*v), x.of)
	case v == 1 && x.most >= 100:
		return cli.Valuef([]string{"1%", "100%"}, "did you mean 1 or 100? Write 1%% or 100%% (%s)", x.of)
	}
	if !(v >= 0 && v <= x.most) {
		return cli.Valuef(nil, "it is a percentage from 0 to %s", shown(x.most))
	}
	*x.to = v
	return nil
}
