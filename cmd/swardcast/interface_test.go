package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/forecast"
	"swardcast/forecast/soil"
)

// paths collects the paths of the keys of a JSON value; the elements of a list
// share one.
func paths(v any, path string, into map[string]bool) {
	switch x := v.(type) {
	case map[string]any:
		for k, e := range x {
			p := strings.TrimPrefix(path+"."+k, ".")
			into[p] = true
			paths(e, p, into)
		}
	case []any:
		for _, e := range x {
			paths(e, path, into)
		}
	}
}

// printedAnswers are the JSON answers to a command's examples, which together hold
// every key.
func printedAnswers(t *testing.T, c *cli.Command) []any {
	t.Helper()
	var got []any
	format := "json"
	if !slices.Contains(formatsOf(c), format) {
		format = "jsonl" // of one station and species a line
	}
	for _, args := range examplesOf(c) {
		line := append(without(args, "--format", "-o", "--output", "--chart"), "--format", format)
		line = slices.DeleteFunc(line, func(a string) bool { return a == "--resume" })
		status, stdout, stderr := runLine("", line...)
		if status != cli.Answered {
			t.Fatalf("%q: %s", line, stderr)
		}
		for d := json.NewDecoder(strings.NewReader(stdout)); d.More(); {
			var v any
			if err := d.Decode(&v); err != nil {
				t.Fatal(err)
			}
			got = append(got, v)
		}
	}
	return got
}

// Keys that are of the key that holds them: quantiles, and the ends of an interval.
var held = regexp.MustCompile(`^(p\d\d|low|high)$`)

// Names of numbers from 0 to 1, and of counts. A Brier score and its parts are shares too.
var (
	shareName = regexp.MustCompile(`(^|_)(chance|share|confidence|interval|cover|success|alive|brier)(_|$)`)
	countName = regexp.MustCompile(`_count$`)
)

// Shared parts have the same keys wherever they stand. What stands only where a record was
// fetched, has faults or has seasons gone through is left out.
var (
	sharedPart = []string{"station", "settings", "probe", "trend", "winter", "cutoff", "last_safe", "fetched_from"}
	sometimes  = []string{"fetched_from", "cautions", "seasons_used", "seasons_dropped"}
)

// shapes collects the shape of every name: the kind of its value, of the elements of a
// list, and of the keys of a shared part. An unknown value, or a list of none, has every
// shape. Each shape has a path where it stands.
func shapes(v any, path, name, list string, into map[string]map[string]string) {
	note := func(shape string) {
		if into[name] == nil {
			into[name] = map[string]string{}
		}
		if into[name][list+shape] == "" {
			into[name][list+shape] = path
		}
	}
	switch x := v.(type) {
	case map[string]any:
		shape := "object"
		if slices.Contains(sharedPart, name) && list == "" {
			keys := slices.DeleteFunc(slices.Sorted(maps.Keys(x)), func(k string) bool { return slices.Contains(sometimes, k) })
			shape += " of " + strings.Join(keys, ", ")
		}
		for key, needed := range map[string][]string{"species": {"id", "name"}, "decision": {"action", "on"}} {
			for _, k := range needed {
				if _, ok := x[k]; name == key && !ok {
					shape += " without " + k
				}
			}
		}
		note(shape)
		for k, e := range x {
			of := k
			if held.MatchString(k) {
				of = name + "." + k
			}
			shapes(e, path+"."+k, of, "", into)
		}
	case []any:
		for _, e := range x {
			shapes(e, path, name, list+"list of ", into)
		}
	case float64:
		switch {
		case shareName.MatchString(name) && (x < 0 || x > 1):
			note(fmt.Sprintf("number %g, not from 0 to 1", x))
		case countName.MatchString(name) && (x < 0 || x != math.Trunc(x)):
			note(fmt.Sprintf("number %g, no count", x))
		default:
			note("number")
		}
	case bool:
		note("true or false")
	case string:
		if _, err := climate.ParseDay(x); err == nil {
			note("date")
		} else if _, err := time.Parse(time.RFC3339, x); err == nil {
			note("time")
		} else {
			note("text")
		}
	}
}

// shapeFaults are the names that have two shapes over the commands, and the numbers that are
// called a count or a share and are none.
func shapeFaults(into map[string]map[string]string) []string {
	var out []string
	for name, of := range into {
		if strings.Contains(name, "percent") {
			out = append(out, name+": shares are from 0 to 1")
		}
		for shape, path := range of {
			if len(of) > 1 || strings.Contains(shape, ", no") || strings.Contains(shape, " without ") ||
				countName.MatchString(name) && shape != "number" {
				out = append(out, fmt.Sprintf("%s is a %s at %s", name, shape, path))
			}
		}
	}
	slices.Sort(out)
	return out
}

// Two shapes of one name are found, and so is a number that is not what its name says.
func TestShapes(t *testing.T) {
	for text, wrong := range map[string]bool{
		`[{"days":3},{"days":[1]}]`: true, `[{"sow":"2026-10-05"},{"sow":"soon"}]`: true, `[{"sow":"2026-10-05"},{"sow":null}]`: false,
		`[{"a":{"p10":1}},{"b":{"p10":"2026-10-05"}}]`: false, `[{"a":{"p10":1}},{"a":{"p10":"2026-10-05"}}]`: true,
		`[{"trend":{"air":1}},{"trend":{"soil":1}}]`: true, `{"chance":80}`: true, `{"chance":0.8}`: false, `{"day_count":0.5}`: true,
		`{"day_count":"few"}`: true, `{"confidence_percent":80}`: true,
		`{"species":["tall-fescue"],"x":{"species":[{"id":"a","name":"b"}]}}`: true, `{"species":[{"id":"a"}]}`: true,
		`{"decision":{"action":"buy"}}`: true,
	} {
		var v any
		if err := json.Unmarshal([]byte(text), &v); err != nil {
			t.Fatal(err)
		}
		into := map[string]map[string]string{}
		shapes(v, "", "", "", into)
		delete(into, "")
		if faults := shapeFaults(into); (len(faults) > 0) != wrong {
			t.Errorf("%s: %q", text, faults)
		}
	}
}

// A section of the document, from its heading to the next.
func section(t *testing.T, doc, heading string) string {
	t.Helper()
	_, rest, ok := strings.Cut(doc, "\n"+heading+"\n")
	if !ok {
		t.Fatalf("docs/interface.md has no %q", heading)
	}
	if end := regexp.MustCompile(`(?m)^##+ `).FindStringIndex(rest); end != nil {
		rest = rest[:end[0]]
	}
	return rest
}

// tableRows are the cells of the rows of a section's table, without its head.
func tableRows(section string) [][]string {
	var rows [][]string
	for line := range strings.Lines(section) {
		line = strings.TrimSpace(line)
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| ---") {
			continue
		}
		cells := strings.Split(strings.Trim(line, "|"), "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		rows = append(rows, cells)
	}
	return rows[1:]
}

// expanded writes out what stands between braces.
func expanded(s string) []string {
	open := strings.IndexByte(s, '{')
	if open < 0 {
		return []string{s}
	}
	shut := open + strings.IndexByte(s[open:], '}')
	var out []string
	for _, w := range strings.Split(s[open+1:shut], ",") {
		out = append(out, expanded(s[:open]+w+s[shut+1:])...)
	}
	return out
}

// documentedKeys are the paths that a section lists, with those of shared parts.
func documentedKeys(t *testing.T, doc, heading string) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	for _, row := range tableRows(section(t, doc, "### "+heading)) {
		for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(row[0], -1) {
			for _, key := range expanded(strings.ReplaceAll(m[1], "[]", "")) {
				if parent, ok := strings.CutSuffix(key, ".…"); ok {
					for k := range documentedKeys(t, doc, parent) {
						if k != "schema" && k != "cautions" {
							out[parent+"."+k] = true
						}
					}
					continue
				}
				if out[key] {
					t.Errorf("%s: %s stands twice", heading, key)
				}
				out[key] = true
				part := key[strings.LastIndexByte(key, '.')+1:]
				if strings.Contains(row[1], "…") &&
					slices.Contains([]string{"station", "settings", "probe", "trend", "winter"}, part) {
					for k := range documentedKeys(t, doc, "shared: "+part) {
						out[key+"."+k] = true
					}
				}
			}
		}
	}
	return out
}

func readInterface(t *testing.T) string {
	t.Helper()
	return read(t, "../../docs/interface.md")
}

// Every key that the program prints is documented, and every key documented is
// printed; of the shared parts, by some command. One name has one shape in all of them.
func TestInterfaceKeys(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	doc := readInterface(t)
	exampleFolder(t)
	seen := map[string]bool{} // of the shared parts
	want := map[string]bool{}
	all := map[string]map[string]string{} // shapes by name
	shared := regexp.MustCompile(`\b(station|settings|probe)\.([a-z_.]+)$`)
	for _, c := range commands {
		if formats := formatsOf(c); !slices.Contains(formats, "json") && !slices.Contains(formats, "jsonl") {
			continue
		}
		documented, printed := documentedKeys(t, doc, c.Name), map[string]bool{}
		for _, v := range printedAnswers(t, c) {
			paths(v, "", printed)
			shapes(v, c.Name, c.Name+" answer", "", all)
		}
		for k := range printed {
			if !documented[k] {
				t.Errorf("%s prints %s, which docs/interface.md does not have", c.Name, k)
			}
			if m := shared.FindStringSubmatch(k); m != nil {
				seen[m[0]] = true
			}
		}
		for k := range documented {
			if m := shared.FindStringSubmatch(k); m != nil {
				want[m[0]] = true
			} else if !printed[k] {
				t.Errorf("docs/interface.md has %s of %s, which is not printed", k, c.Name)
			}
		}
	}
	for k := range want {
		if !seen[k] {
			t.Errorf("docs/interface.md has %s, which no command prints", k)
		}
	}
	for _, fault := range shapeFaults(all) {
		t.Error(fault)
	}
}

// Every flag is documented with its default and the commands that have it.
func TestInterfaceFlags(t *testing.T) {
	type flag struct{ name, def, command string }
	documented := map[flag]bool{}
	for _, row := range tableRows(section(t, readInterface(t), "## Flags")) {
		for _, c := range strings.Split(row[2], ", ") {
			documented[flag{strings.Trim(row[0], "`"), row[1], c}] = true
		}
	}
	for _, c := range commands {
		c.Flags().VisitAll(func(x *pflag.Flag) {
			k := flag{"--" + x.Name, x.DefValue, c.Name}
			if !documented[k] {
				t.Errorf("docs/interface.md lacks %+v", k)
			}
			delete(documented, k)
		})
	}
	for k := range documented {
		t.Errorf("docs/interface.md has %+v, which is no flag", k)
	}
}

func TestInterfaceCSV(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	documented := map[string]string{}
	doc := readInterface(t)
	for _, row := range tableRows(section(t, doc, "## CSV")) {
		documented[row[0]] = strings.Trim(row[1], "`")
	}
	exampleFolder(t)
	for _, c := range commands {
		if c.Name == "fetch" {
			continue // a record, which has a section of its own
		}
		status, stdout, _ := runLine("", c.Name, "--format", "csv")
		if status == cli.Usage { // it needs more than its name
			status, stdout, _ = runLine(
				"",
				append(without(examplesOf(c)[0], "--format", "-o", "--output"), "--format", "csv")...)
		}
		if status == cli.Usage {
			if documented[c.Name] != "" {
				t.Errorf("%s has no CSV", c.Name)
			}
			continue
		}
		if header, _, _ := strings.Cut(stdout, "\n"); header != documented[c.Name] {
			t.Errorf("%s prints the header %s", c.Name, header)
		}
	}
}

// The limits that this package and the forecasts set; package recordfile tests its
// own.
func TestInterfaceLimits(t *testing.T) {
	doc := readInterface(t)
	for _, row := range []string{
		fmt.Sprintf("| soil readings or species file | %d MiB |", files.MaxTableBytes>>20),
		fmt.Sprintf("| soil readings | %d |", soil.MaxReadings),
		fmt.Sprintf("| seasons judged by a hindcast | %d |", forecast.MaxHindcast),
		fmt.Sprintf("(%g to %g cm)", soil.MinDepthCM, soil.MaxDepthCM),
		fmt.Sprintf("An ID is up to %d letters", ask.MaxIDLength),
	} {
		if !strings.Contains(doc, row) {
			t.Errorf("docs/interface.md does not say %s", row)
		}
	}
	for _, row := range []string{"| 0 | answered", "| 1 | the data cannot answer", "| 2 | the command line is wrong"} {
		if !strings.Contains(doc, row) {
			t.Errorf("docs/interface.md does not say %s", row)
		}
	}
}
