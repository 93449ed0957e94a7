// Package app answers the questions of the app. It turns what is given on its page into
// a command line, runs the program on files that are held in memory, and returns the
// answer with what the program says of it.
package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"swardcast/climate"
	"swardcast/climate/stations"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/words"
)

// A Request is a question with what is given for it. The zero value of what is not
// needed is nothing given.
type Request struct {
	Question string            `json:"question"` // its ID
	Inputs   map[string]string `json:"inputs"`   // by flag; those that the question does not have are left aside
	Readings []Reading         `json:"readings"` // of the soil; a file of them stands before them
	Records  []string          `json:"records"`  // files of the station; none: the demo station
	Metric   bool              `json:"metric"`   // units of the answer and of the readings
	Format   string            `json:"format"`   // of the answer
	Chart    string            `json:"chart"`    // of the formats that draw one; "": the first
}

// A Reading is a soil temperature as it is typed.
type Reading struct {
	Date  string `json:"date"`
	Depth string `json:"depth"` // in. or cm
	Temp  string `json:"temp"`  // °F or °C
	Time  string `json:"time"`  // of day; may be blank
}

// blank reports whether nothing is typed.
func (r *Reading) blank() bool { return r.Date == "" && r.Temp == "" }

// A Reply is what the program answers.
type Reply struct {
	Line     string   `json:"line"` // the same question at a terminal
	Answer   []byte   `json:"-"`    // in the format asked for; nil where there is a fault
	Messages []string `json:"messages"`
	Fault    *Fault   `json:"fault"` // nil: answered
}

// A Fault is why there is no answer.
type Fault struct {
	Message string        `json:"message"`
	Hint    string        `json:"hint"`    // what to do, as at a terminal; "" for nothing
	Field   string        `json:"field"`   // flag that settles it; "" for none
	Choices []hint.Choice `json:"choices"` // values of which one may settle it
	Lines   []string      `json:"lines"`   // the first of the file, where its columns are to be named
}

// A Session holds the files of a page.
type Session struct {
	Now      func() time.Time // nil: the clock
	files    memory
	stations []stations.Station // that can be found
}

// today is the day by the clock.
func (s *Session) today() climate.Day { return (&cli.Program{Now: s.Now}).Today() }

// Put keeps a file and returns the name by which a request names it: that of the file
// without what cannot be shown, or typed, and with a number where another has that name.
func (s *Session) Put(name string, content []byte) (string, error) {
	if n := s.files.size() + len(content); n > MaxBytes {
		return "", fmt.Errorf("the files take %d MB, and the app holds %d MB: keep the rows of one station", n>>20, MaxBytes>>20)
	}
	name = strings.TrimSpace(words.Harmless(name))
	if name == "" || strings.HasPrefix(name, "-") {
		name = "./" + name
	}
	if s.files == nil {
		s.files = memory{}
	}
	stem, ending, dot := strings.Cut(name[1:], ".")
	if stem = name[:1] + stem; dot {
		ending = "." + ending
	}
	for n := 2; s.files[name] != nil || name == readingsFile; n++ {
		name = fmt.Sprintf("%s-%d%s", stem, n, ending)
	}
	s.files[name] = slices.Clip(content)
	return name, nil
}

// Drop drops one file.
func (s *Session) Drop(name string) { delete(s.files, name) }

// Forget drops every file.
func (s *Session) Forget() { s.files = nil }

// fragment is the format that the page shows.
const fragment = "fragment"

// readingsFile is the name of the file that readings stand in.
const readingsFile = "soil-readings.csv"

// Ask answers a request.
func (s *Session) Ask(ctx context.Context, r Request) Reply {
	q, ok := find(r.Question)
	if !ok {
		return Reply{Fault: &Fault{Message: fmt.Sprintf("there is no question %q", r.Question)}}
	}
	files := memory{}
	for name, content := range s.files {
		files[name] = content
	}
	readings := slices.DeleteFunc(slices.Clone(r.Readings), func(x Reading) bool { return x.blank() })
	if len(readings) > 0 {
		files[readingsFile] = readingsCSV(readings, r.Metric)
	}
	args := q.args(r, len(readings) > 0)
	reply := Reply{Line: line(args)}
	var out, said bytes.Buffer
	p := &cli.Program{Name: "swardcast", Commands: Commands, Hint: hint.For, Stdout: &out, Stderr: &said,
		Files: files, Now: s.Now, Getenv: func(string) string { return "" }}
	err := p.Run(ctx, args)
	reply.Messages = messages(said.String())
	if err != nil {
		if reply.Fault = fault(p, err); reply.Fault.Field == "columns" && len(r.Records) > 0 {
			reply.Fault.Lines = files.lines(r.Records[0])
		}
		return reply
	}
	if reply.Answer = out.Bytes(); r.Format == fragment {
		reply.Answer = []byte(plainly(out.String()))
	}
	return reply
}

// line is a command line as it is typed.
func line(args []string) string {
	typed := []string{"swardcast"}
	for _, a := range args {
		if a != "--" {
			typed = append(typed, cli.ShellWord(a))
		}
	}
	return strings.Join(typed, " ")
}

// args is the command line of a request.
func (q *Question) args(r Request, readings bool) []string {
	args := []string{q.ID}
	given := func(flag string) string { return strings.TrimSpace(r.Inputs[flag]) }
	flags := q.flags()
	for _, flag := range q.Fields() {
		value := given(flag)
		if value == "" || !slices.ContainsFunc(with(q.ID, flag), func(w string) bool { return w == "" || given(w) != "" }) {
			continue
		}
		switch f := fieldOf(flag); {
		case f.Kind == Switch:
			args = append(args, "--"+flag)
		case f.Kind == Lines:
			for one := range strings.Lines(value) {
				if one = strings.TrimSpace(one); one != "" {
					args = append(args, "--"+flag, one)
				}
			}
		case f.File && flags.Lookup(flag).Value.Type() == "stringSlice" && strings.ContainsAny(value, `,"`):
			args = append(args, "--"+flag, `"`+strings.ReplaceAll(value, `"`, `""`)+`"`) // one name, not several
		default:
			args = append(args, "--"+flag, value)
		}
	}
	if readings && flags.Lookup("probe") != nil && given("probe") == "" {
		args = append(args, "--probe", readingsFile)
	}
	if r.Metric {
		args = append(args, "--units", "metric")
	}
	if r.Format != "" {
		args = append(args, "--format", r.Format)
	}
	if r.Chart != "" {
		args = append(args, "--chart", r.Chart)
	}
	if !q.NoRecord && len(r.Records) > 0 {
		if flags.Lookup("lat") != nil {
			for _, f := range Reads() {
				if value := given(f.Flag); value != "" {
					args = append(args, "--"+f.Flag, value)
				}
			}
		}
		args = append(append(args, "--"), r.Records...)
	}
	return args
}

// readingsCSV is the file of readings.
func readingsCSV(list []Reading, metric bool) []byte {
	head := "date,depth_in,soil_f,time\n"
	if metric {
		head = "date,depth_cm,soil_c,time\n"
	}
	var b strings.Builder
	b.WriteString(head)
	for _, x := range list {
		cells := []string{x.Date, x.Depth, x.Temp, x.Time}
		for i, c := range cells {
			cells[i] = `"` + strings.ReplaceAll(strings.TrimSpace(c), `"`, `""`) + `"`
		}
		b.WriteString(strings.Join(cells, ",") + "\n")
	}
	return []byte(b.String())
}

// messages are what the program says beside an answer, without its name and without what
// holds for a terminal alone.
func messages(said string) []string {
	list := []string{}
	for m := range strings.Lines(said) {
		m = strings.TrimPrefix(strings.TrimSpace(m), "swardcast: ")
		if m != "" && !strings.HasPrefix(m, "no FILE given") {
			list = append(list, plainly(m))
		}
	}
	return list
}

// fault is an error with what settles it.
func fault(p *cli.Program, err error) *Fault {
	message, says := p.Words(err)
	f := &Fault{Message: plainly(message), Hint: says, Choices: hint.Choices(err, says)}
	if len(f.Choices) > 0 {
		f.Field = f.Choices[0].Flag
	} else if name, ok := strings.CutPrefix(says, "--"); ok {
		f.Field, _, _ = strings.Cut(name, " ")
	}
	if errors.Is(err, ask.ErrNoLatitude) {
		f.Field, f.Choices = "lat", nil
	}
	f.Hint = plainly(strings.Replace(says, "--"+f.Field+" ", "", 1))
	return f
}
