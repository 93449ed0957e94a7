package app

import (
	"bytes"
	"compress/gzip"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate/demo"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/hint"
)

func session() *Session {
	return &Session{Now: func() time.Time { return time.Date(2026, time.July, 1, 0, 0, 0, 0, time.UTC) }}
}

// Every field of a question is a flag of its command, with a label; every word that the
// flag takes can be chosen, and every value that can be chosen is one of the flag's.
func TestFields(t *testing.T) {
	fields := map[string]Field{}
	for _, f := range append(Fields(), Reads()...) {
		fields[f.Flag] = f
	}
	used := map[string]bool{}
	for _, q := range Questions() {
		names := q.Fields()
		if q.flags().Lookup("lat") != nil {
			for _, f := range Reads() {
				names = append(names, f.Flag)
			}
		}
		for _, name := range names {
			f, ok := fields[name]
			flag := q.flags().Lookup(name)
			if !ok || flag == nil || f.Label == "" {
				t.Errorf("%s: no field or no flag %s", q.ID, name)
				continue
			}
			used[name] = true
			for _, o := range f.Options {
				if o.Value != "" && q.flags().Set(name, o.Value) != nil {
					t.Errorf("%s: %s does not take %q", q.ID, name, o.Value)
				}
			}
			if w, ok := flag.Value.(interface{ Words() []string }); ok {
				for _, word := range w.Words() {
					offered := slices.ContainsFunc(f.Options, func(o Option) bool { return o.Value == word })
					if word != flag.DefValue && !offered {
						t.Errorf("%s: %s cannot be chosen as %s", q.ID, name, word)
					}
				}
			}
			if repeated := name == "part" || flag.Value.Type() == "stringArray"; repeated != (f.Kind == Lines) {
				t.Errorf("%s: %s is given a line each, or is not", q.ID, name)
			}
			for _, example := range []string{f.US, f.Metric} {
				if example != "" && q.flags().Set(name, example) != nil {
					t.Errorf("%s: %s does not take its example %q", q.ID, name, example)
				}
			}
		}
		// A flag without a field is left out on purpose: of a place or a service, of a form,
		// of several things at once.
		q.flags().VisitAll(func(f *pflag.Flag) {
			without := []string{"lon", "elevation", "near", "station-id", "offline", "base", "units", "format", "color",
				"output", "chart", "bare", "table"}
			if q.ID == "compare" && f.Name == "species" {
				return // every species is compared
			}
			if !f.Hidden && !slices.Contains(names, f.Name) && !slices.Contains(without, f.Name) {
				t.Errorf("%s: --%s has no field", q.ID, f.Name)
			}
		})
		for flag, value := range q.Demo {
			if !slices.Contains(q.Fields(), flag) || q.flags().Set(flag, value) != nil {
				t.Errorf("%s: no %s of %q where the demo station answers", q.ID, flag, value)
			}
		}
	}
	for name := range fields {
		if !used[name] {
			t.Errorf("no question has the field %s", name)
		}
	}
}

// An answer is what the program prints, in every form of every question, and the line is
// what is typed for it.
func TestAnswersAreTheProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("every form of every question")
	}
	s := session()
	name, err := s.Put("my field.csv", demo.Station)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range Questions() {
		for _, form := range q.Forms {
			if q.Charts != nil && form == "png" {
				continue // not in a browser
			}
			r := Request{Question: q.ID, Inputs: q.Demo, Records: []string{name}, Format: form, Metric: true}
			reply := s.Ask(t.Context(), r)
			if reply.Fault != nil {
				t.Errorf("%s as %s: %s", q.ID, form, reply.Fault.Message)
				continue
			}
			var out bytes.Buffer
			p := &cli.Program{Name: "swardcast", Commands: Commands, Hint: hint.For, Stdout: &out, Stderr: &bytes.Buffer{},
				Files: s.files, Now: s.Now, Getenv: func(string) string { return "" }}
			line := strings.ReplaceAll(reply.Line, "'my field.csv'", "my%field.csv")
			args := strings.Fields(line)[1:]
			for i := range args {
				args[i] = strings.ReplaceAll(strings.Trim(args[i], "'"), "%", " ")
			}
			if q.ID == "seed" { // its area is two words
				continue
			}
			if p.Main(t.Context(), args) != cli.Answered {
				t.Errorf("%s does not answer", reply.Line)
			}
			if want := out.String(); string(reply.Answer) != want && form != fragment {
				t.Errorf("%s as %s: not what the line prints", q.ID, form)
			} else if form == fragment && plainly(want) != string(reply.Answer) {
				t.Errorf("%s: another fragment", q.ID)
			}
			if form == fragment && strings.Contains(string(reply.Answer), "--") {
				i := bytes.Index(reply.Answer, []byte("--"))
				t.Errorf("%s: a flag on the page: %s", q.ID, reply.Answer[max(0, i-60):min(len(reply.Answer), i+40)])
			}
		}
	}
}

// A fault comes with what settles it, to be chosen, and settles so.
func TestFaultsAreSettled(t *testing.T) {
	whole := string(demo.Station)
	bare := whole[strings.Index(whole, "\ndate,")+1:]
	// table is the record with other columns: date, highest and lowest in °C.
	table := func(head string, row func(date, high, low string) string) string {
		var b strings.Builder
		b.WriteString(head + "\n")
		for _, l := range strings.Split(strings.TrimSpace(bare), "\n")[1:] {
			cells := strings.Split(l, ",")
			b.WriteString(row(cells[0], cells[1], cells[2]) + "\n")
		}
		return b.String()
	}
	two := table("station,date,tmax_c,tmin_c", func(d, h, l string) string { return "ALDER," + d + "," + h + "," + l }) +
		strings.SplitN(table("", func(d, h, l string) string { return "BIRCH," + d + "," + h + "," + l }), "\n", 2)[1]
	for _, c := range []struct {
		name, file, field string
		choose            string // "" where it has to be typed
		typed             string
	}{
		{"no latitude", bare, "lat", "", "35.4"},
		{"two stations", two, "station", "BIRCH", ""},
		{"swapped dates", table("date,tmax_c,tmin_c", func(d, h, l string) string {
			if d[8:] <= "12" {
				d = d[:5] + d[8:] + "-" + d[5:7]
			}
			return d + "," + h + "," + l
		}), "date-order", "swapped", ""},
		{"no names", table("date,warm,cool", func(d, h, l string) string { return d + "," + h + "," + l }), "columns", "",
			"date=1,tmax=2,tmin=3"},
	} {
		s := session()
		name, err := s.Put("field.csv", []byte(c.file))
		if err != nil {
			t.Fatal(err)
		}
		r := Request{Question: "window", Records: []string{name}, Format: fragment, Inputs: map[string]string{}}
		if c.field != "lat" {
			r.Inputs["lat"] = "35.4"
		}
		f := s.Ask(t.Context(), r).Fault
		if f == nil || f.Field != c.field {
			t.Errorf("%s: %+v", c.name, f)
			continue
		}
		value := c.typed
		for _, x := range f.Choices {
			if x.Value == c.choose {
				value = x.Value
			}
		}
		if value == "" {
			t.Errorf("%s: no choice %q in %v", c.name, c.choose, f.Choices)
		}
		r.Inputs[c.field] = value
		if f := s.Ask(t.Context(), r).Fault; f != nil {
			t.Errorf("%s: still %s", c.name, f.Message)
		}
	}
	s := session()
	r := Request{Question: "second-pass", Format: fragment,
		Inputs: map[string]string{"first": "2025-10-05", "as-of": "2025-10-19", "cover": "0.4"}}
	f := s.Ask(t.Context(), r).Fault
	if f == nil || f.Field != "cover" || len(f.Choices) == 0 || strings.Contains(f.Message, "--") {
		t.Fatalf("a cover of 0.4: %+v", f)
	}
	r.Inputs["cover"] = f.Choices[0].Value
	if f := s.Ask(t.Context(), r).Fault; f != nil {
		t.Errorf("a cover of %s: %s", r.Inputs["cover"], f.Message)
	}
}

// Soil readings are read as typed, in the units of the page.
func TestReadings(t *testing.T) {
	s := session()
	inputs := map[string]string{"sow": "2025-10-05", "as-of": "2025-10-12"}
	ask := func(metric bool, list ...Reading) string {
		reply := s.Ask(t.Context(), Request{Question: "outlook", Inputs: inputs, Format: "json", Metric: metric, Readings: list})
		if reply.Fault != nil {
			t.Fatal(reply.Fault.Message)
		}
		return string(reply.Answer)
	}
	us := ask(false, Reading{"2025-10-08", "4", "68", "14:30"}, Reading{Depth: "4"})
	si := ask(true, Reading{"2025-10-08", "10.16", "20", "14:30"})
	if us != si || us == ask(false) {
		t.Error("a reading in °F and inches is not that in °C and cm, or changes nothing")
	}
	reply := s.Ask(t.Context(), Request{Question: "outlook", Inputs: inputs, Format: "json",
		Readings: []Reading{{"2025-10-08", "4", "warm\",1\n", ""}}})
	if reply.Fault == nil {
		t.Error("a reading that is no number is taken")
	}
}

// Forecast rows, species and soil readings come from files; areas and their shapes one a
// line. Each changes the answer.
func TestFilesAndLines(t *testing.T) {
	s := session()
	put := func(name, content string) string {
		t.Helper()
		got, err := s.Put(name, []byte(content))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	answer := func(question, format string, inputs map[string]string) string {
		t.Helper()
		reply := s.Ask(t.Context(), Request{Question: question, Format: format, Inputs: inputs})
		if reply.Fault != nil {
			t.Fatalf("%s: %s", reply.Line, reply.Fault.Message)
		}
		return string(reply.Answer)
	}
	species := put(`own, "best".csv`, answer("species", "csv", nil))
	ahead := put("next.csv", "date,tmax_c,tmin_c\n2025-10-13,31,20\n2025-10-14,31,20\n2025-10-15,31,20\n")
	probe := put("next.csv", "date,depth_cm,soil_c\n2025-10-08,10,24\n")
	if probe == ahead {
		t.Fatal("the second file has the name of the first")
	}
	for _, c := range []struct {
		question, flag, value, shown string
		others                       map[string]string
	}{
		{"outlook", "ahead", ahead, "", map[string]string{"sow": "2025-10-05", "as-of": "2025-10-12"}},
		{"outlook", "ahead", "warm:21", "", map[string]string{"sow": "2025-10-05", "as-of": "2025-10-12"}},
		{"outlook", "probe", probe, "", map[string]string{"sow": "2025-10-05", "as-of": "2025-10-12"}},
		{"window", "species", species, "", nil},
		{"window", "freeze-temp", "24F", "", nil},
		{"window", "open-soil", "68F", "", nil},
		{"window", "dormancy-soil", "60F", "", nil},
		{"freeze", "threshold", "30F, 26F", "", nil},
		{"soil", "threshold", "60F, 50F", "", nil},
		{"plan", "part", "greens: 12000 ft2, putting-green\n\n tees: 0.2 ac, fairway\n", "tees", map[string]string{"sow": "2026-10-05"}},
		{"plan", "rectangle", "60 ft x 40 ft", "", map[string]string{"sow": "2026-10-05", "bag": "50 lb"}},
		{"seed", "rectangle", "60 ft x 40 ft\n10 ft x 9 ft", "", map[string]string{"area": "100 ft2"}},
		{"seed", "circle", "18 ft", "", map[string]string{"area": "100 ft2"}},
	} {
		inputs := map[string]string{c.flag: c.value}
		for flag, value := range c.others {
			inputs[flag] = value
		}
		with, without := answer(c.question, "json", inputs), answer(c.question, "json", c.others)
		if with == without || !strings.Contains(with, c.shown) {
			t.Errorf("%s: %s of %q changes nothing", c.question, c.flag, c.value)
		}
	}
	s.Drop(ahead)
	reply := s.Ask(t.Context(), Request{Question: "outlook", Format: "json", Inputs: map[string]string{"ahead": ahead, "sow": "2025-10-05"}})
	if reply.Fault == nil {
		t.Error("a file that was dropped is read")
	}
}

// Whatever a file is called it is read under that name, and the name steers nothing.
func TestNames(t *testing.T) {
	for _, name := range []string{"-", "--format", "", "<script>.csv", "a\x1b[31mb.csv", "x/../y.csv", "-o"} {
		s := session()
		got, err := s.Put(name, demo.Station)
		if err != nil || strings.HasPrefix(got, "-") || strings.Contains(got, "\x1b") {
			t.Fatalf("%q: %q, %v", name, got, err)
		}
		reply := s.Ask(t.Context(), Request{Question: "window", Records: []string{got}, Format: fragment})
		if reply.Fault != nil || bytes.Contains(reply.Answer, []byte("<script>")) {
			t.Errorf("%q: %+v", name, reply.Fault)
		}
	}
}

// Packed files count as they are, and too many bytes are refused before they are read.
func TestTooLarge(t *testing.T) {
	s := session()
	if _, err := s.Put("large.csv", make([]byte, MaxBytes+1)); err == nil {
		t.Error("a file beyond the limit is held")
	}
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	w.Write(demo.Station)
	w.Close()
	name, err := s.Put("field.csv.gz", b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if f := s.Ask(t.Context(), Request{Question: "record", Records: []string{name}}).Fault; f != nil {
		t.Error(f.Message)
	}
	if s.Forget(); len(s.files) != 0 {
		t.Error("a file is not forgotten")
	}
}
