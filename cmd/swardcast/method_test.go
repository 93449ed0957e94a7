package main

import (
	"errors"
	"fmt"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// physics are the packages whose constants docs/method.md tells.
var physics = map[string]string{
	"climate": "../../climate", "check": "../../climate/check", "forecast": "../../forecast", "soil": "../../forecast/soil", "turf": "../../forecast/turf", "report": "../internal/report", "window": "../internal/window", "freeze": "../internal/freeze",
}

// bookkeeping are constants that say nothing about the world.
var bookkeeping = regexp.MustCompile(
	`^climate\.(secondsPerDay|usualHarmonics)|^soil\.(col.*|Columns|Depth.*)|^check\.(calendarSlots|noLevel)|^turf\.(poundsPer1000|min.*|max.*)|^(report|window|freeze)\..*|^forecast\.(survivalSteps|seasonDays|smoothBlock)`,
)

// told are constants of the command line that belong to a model all the same.
var told = regexp.MustCompile(`^(report|window)\.(waterDays)$`)

type noImports struct{}

func (noImports) Import(string) (*types.Package, error) { return nil, errors.New("not needed") }

// numericConstants are the package-level constants of the physics, by name.
func numericConstants(t *testing.T) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for name, dir := range physics {
		files := token.NewFileSet()
		var parsed []*ast.File
		paths, err := filepath.Glob(dir + "/*.go")
		if err != nil || len(paths) == 0 {
			t.Fatal(dir, err)
		}
		for _, p := range paths {
			if strings.HasSuffix(p, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(files, p, nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			parsed = append(parsed, f)
		}
		// Constants need no imports but math; what else is missing is no matter.
		config := types.Config{Importer: noImports{}, Error: func(error) {}}
		pkg, _ := config.Check(name, files, parsed, nil)
		for _, id := range pkg.Scope().Names() {
			c, ok := pkg.Scope().Lookup(id).(*types.Const)
			if !ok || c.Val().Kind() != constant.Int && c.Val().Kind() != constant.Float {
				continue
			}
			v, _ := constant.Float64Val(constant.ToFloat(c.Val()))
			if key := name + "." + id; !bookkeeping.MatchString(key) || told.MatchString(key) {
				out[key] = v
			}
		}
	}
	return out
}

// tablesOf are the rows of the tables of a document whose head begins so.
func tablesOf(doc, head string) [][]string {
	var rows [][]string
	in := false
	for line := range strings.Lines(doc) {
		line = strings.TrimSpace(line)
		switch {
		case !strings.HasPrefix(line, "|"):
			in = false
		case strings.HasPrefix(line, head):
			in = true
		case in && !strings.HasPrefix(line, "| ---"):
			cells := strings.Split(strings.Trim(line, "|"), "|")
			for i := range cells {
				cells[i] = strings.Trim(strings.TrimSpace(cells[i]), "`")
			}
			rows = append(rows, cells)
		}
	}
	return rows
}

// same reports whether a number in a document is a value, to the digits written.
func same(t *testing.T, written string, value float64) bool {
	t.Helper()
	v, err := strconv.ParseFloat(written, 64)
	if err != nil {
		t.Fatal(err)
	}
	_, decimals, _ := strings.Cut(written, ".")
	half := 0.5 * math.Pow10(-len(decimals))
	return math.Abs(v-value) <= half*(1+1e-9) && (decimals != "" || v == math.Round(value))
}

// Every constant of the physics stands in docs/method.md with its value.
func TestMethodConstants(t *testing.T) {
	code := numericConstants(t)
	if len(code) < 50 {
		t.Fatalf("%d constants found", len(code))
	}
	for _, row := range tablesOf(read(t, "../../docs/method.md"), "| constant |") {
		v, ok := code[row[0]]
		switch {
		case !ok:
			t.Errorf("docs/method.md has %s, which is no constant, or twice", row[0])
		case !same(t, row[1], v):
			t.Errorf("docs/method.md has %s %s, the code %g", row[0], row[1], v)
		}
		if len(row) != 4 || row[2] == "" || row[3] == "" {
			t.Errorf("%s: what it is or its standing is missing", row[0])
		}
		delete(code, row[0])
	}
	for name, v := range code {
		t.Errorf("docs/method.md lacks %s, %g", name, v)
	}
}

func TestMethodTables(t *testing.T) {
	doc := read(t, "../../docs/method.md")
	equal := func(what, written string, value float64) {
		t.Helper()
		if !same(t, written, value) {
			t.Errorf("docs/method.md has %s %s, the code %g", what, written, value)
		}
	}
	rows := func(head string, want int) [][]string {
		t.Helper()
		r := tablesOf(doc, head)
		if len(r) != want {
			t.Fatalf("%d rows beneath %q, want %d", len(r), head, want)
		}
		return r
	}
	for i, r := range rows("| column |", len(soil.Terms())) {
		if r[0] != soil.Terms()[i] {
			t.Errorf("column %s, the code has %s", r[0], soil.Terms()[i])
		}
		equal(r[0], r[1], soil.Turf().Coef5[i])
		equal(r[0], r[2], soil.Turf().Coef10[i])
	}
	for k, r := range []soil.Residual{soil.ResidualAt(soil.Depth5), soil.ResidualAt(soil.Depth10)} {
		table := rows("| `soil.Residual` |", 6)
		for m, v := range strings.Fields(table[0][1+k]) {
			equal("SiteSD", v, r.SiteSD[m])
		}
		for i, v := range []float64{r.SeasonSD, r.DaySD, r.Slow, r.SlowDays, r.FastDays} {
			equal(table[1+i][0], table[1+i][1+k], v)
		}
	}
	for i, r := range rows("| `soil.SitePatterns` |", len(soil.SitePatterns())) {
		for m, v := range strings.Fields(r[1]) {
			equal("SitePatterns", v, soil.SitePatterns()[i][m])
		}
	}
	for i, r := range rows("| species |", len(turf.All())) {
		sp := turf.All()[i]
		if r[0] != sp.ID {
			t.Errorf("species %s, the code has %s", r[0], sp.ID)
		}
		for k, p := range sp.Parameters() {
			value, standing, _ := strings.Cut(r[1+k], " ")
			equal(sp.ID+" "+p.Key, value, p.Value)
			if standing != string(p.Evidence) {
				t.Errorf(
					"docs/method.md has %s of %s with standing %s, the code %s",
					p.Key,
					sp.ID,
					standing,
					p.Evidence,
				)
			}
		}
	}
	for i, r := range rows("| host |", len(turf.Hosts())) {
		h := turf.Hosts()[i]
		if r[0] != h.ID {
			t.Errorf("host %s, the code has %s", r[0], h.ID)
		}
		equal("opening", r[1], h.Open.TempC)
		equal("opening depth", r[2], float64(h.Open.Depth))
		equal("dormancy", r[3], h.Dormancy.TempC)
		equal("dormancy depth", r[4], float64(h.Dormancy.Depth))
	}
	bucket := fmt.Sprintf("C = %g mm", climate.Topsoil().CapacityMM)
	if !strings.Contains(doc, bucket) || climate.Topsoil().StallShare != 0.25 {
		t.Errorf("docs/method.md does not say %s and a quarter of it", bucket)
	}
}
