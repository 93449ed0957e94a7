// Package region answers when the seeding windows of many stations open and close: a
// row a station and species, in forms that grow a station at a time.
package region

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Command is swardcast region.
var Command = &cli.Command{
	Name:    "region",
	Summary: "The seeding window of many stations: a table, a page, a map file",
	Usage:   "[FILE|DIRECTORY|PATTERN...]",
	Help: `Says when to sow at every station: a row for each station and species, in the
order of the stations. A directory stands for the records in it (.csv, .tsv,
.txt, .dat, with or without .gz), --list for the files it names, one a line. A
table stations.csv beside the records, or --places, says where they are:
station,name,latitude,longitude,elevation_m,temp_unit. The first names the file;
a blank leaves what the file says.

Chance and winter risk are of a sowing on --sow, without it on the last safe
date of each. Of several stations in one file each has its rows.

A station without an answer is reported; text and pages say why in its row, the
other forms leave it out. The status is 1 only if none has an answer; with
--strict, if any has none.

With --output FILE the answer grows in FILE.part, a station at a time, and is
renamed to FILE when it is complete. If a run is stopped, resume it with the
same command line and --resume: only the missing stations are done. --shard 3/8
does the third of eight parts of the stations. In CSV, JSON lines or text, the
answers of all parts one after the other are the whole answer.
`,
	Examples: []cli.Example{
		{Line: "region stations/ --format csv -o windows.csv"},
		{Line: "region stations/ --format csv -o windows.csv --resume"},
		{Line: "region 'n*.csv' south/ --species all --format geojson -o map.geojson"},
		{Line: "region stations/ --species all --sow Oct-10 --format html -o r.html"},
		{Line: "region stations/ --species tall --format lines -o lines.geojson"},
		{Line: "region --list stations.txt --shard 3/8 --format jsonl -o 3.jsonl"},
		{Line: "region --species all", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		r := &run{}
		r.declare(f)
		return r.answer
	},
}

// A run is what is asked of a region.
type run struct {
	list, places   string
	jobs           int
	shard          shard
	resume, strict bool
	sow            ask.Date
	finder         *ask.PlaceFinder // nil without a file
	reading        ask.StationFlags // no place: it is that of one station
	turf           ask.TurfFlags
	out            out.Flags
}

func (r *run) declare(f *pflag.FlagSet) {
	f.StringVar(&r.list, "list", "", "`file` that names the records, one a line; - for standard input")
	cli.MarkInput(f, "list")
	f.StringVar(&r.places, "places", "",
		"`file` with the table of places, instead of the "+ask.PlacesName+" beside the records")
	cli.MarkInput(f, "places")
	f.IntVar(&r.jobs, "jobs", 0, "`stations` worked on at a time (default as many as there are processors)")
	f.Lookup("jobs").DefValue = "0"
	f.Var(&r.shard, "shard", "do only this part of the stations, such as 3/8")
	f.BoolVar(&r.resume, "resume", false, "resume an output that is partly there")
	f.BoolVar(&r.strict, "strict", false,
		"status 1 where any station cannot be answered; the output then stays a part")
	r.turf.Declare(f)
	f.Lookup("species").Usage += "; all for every one"
	f.Var(&r.sow, "sow", "day of sowing that chance and winter risk are of (default the last safe date of each); "+
		"without a year in the next season of each station")
	r.turf.DeclareConfidence(f)
	r.turf.DeclareSeason(f)
	r.reading.DeclareReading(f)
	r.out.DeclareFormats(f, formats...)
	f.Lookup("units").Usage = "how text and pages write dates; the other forms have YYYY-MM-DD"
	f.Lookup("output").Usage = "`file` to write, named FILE.part until it is complete (default standard output); " +
		"its ending gives the form"
}

// options are those of each species.
func (r *run) options(p *cli.Program) ([]forecast.Options, error) {
	if i := slices.Index(r.turf.Species, "all"); i >= 0 {
		var all []string
		for _, sp := range turf.All() {
			all = append(all, sp.ID)
		}
		r.turf.Species = slices.Replace(r.turf.Species, i, i+1, all...)
	}
	return r.turf.Options(p)
}

// answer answers for every station until ctx is done.
func (r *run) answer(ctx context.Context, p *cli.Program, args []string) error {
	if r.jobs < 0 {
		return cli.Usagef(
			"leave --jobs out for as many as there are processors",
			"--jobs %d: it is a number from 1 on",
			r.jobs,
		)
	}
	options, err := r.options(p)
	if err != nil {
		return err
	}
	if r.out.Output == "-" {
		r.out.Output = "" // standard output
	}
	set := settings(options, &r.reading, &r.sow)
	o := &output{name: r.out.Output, writer: out.StreamWriter[Row]{
		Form: form(r.out.Format(), r.matrix(options, set), options[0].Confidence, r.out.System()), To: p.Stdout,
		First: r.shard.first(), Last: r.shard.last(),
	}}
	switch {
	case r.resume && o.name == "":
		return cli.Usagef("give it as in --output windows.csv", "--resume without an output to resume")
	case r.resume && o.writer.Form.Back == nil:
		return cli.Usagef("--format csv, jsonl or geojson", "--resume cannot resume a text, lines or a page")
	}
	sites, err := r.sites(p, args)
	if err != nil {
		return err
	}
	if err := r.keepInputs(p, sites); err != nil {
		return err
	}
	total, demo := len(sites), len(args) == 0 && r.list == ""
	// Of a folder as a whole, every row of its table should be of a record.
	whole := !r.resume && r.shard.of == 0 && (r.places != "" || allFolders(args))
	if sites, err = o.open(r.resume, sites, options, set); err != nil {
		return err
	}
	n := count{before: total - len(sites), left: len(sites)}
	progress := p.Progress("stations", len(sites))
	if o.name == "" && p.IsTerminal(p.Stdout) {
		progress.Silence() // the rows themselves show how far it is
	}
	asked := forecast.RegionOptions{Options: options, Jobs: r.jobs}
	switch {
	case r.reading.AsOf.Given:
		asked.AsOf = &r.reading.AsOf.Day
	case !demo: // whose record is of no date
		asked.Today = new(p.Today())
	}
	if r.sow.Given {
		asked.Sow, asked.SowAnyYear = new(r.sow.AnyYear()), !r.sow.HasYear()
	}
	add := func(d forecast.SiteDates[*site]) error {
		if d.Err != nil {
			n.failed++
			if d.Station != nil {
				d.Err = d.Site.in.SeasonsError(d.Err)
			}
			progress.Clear()
			p.Report(d.Err)
			return o.writer.AddFailed(d.Site.failed(d.Err))
		}
		n.worked++
		if _, stale := d.Site.in.Stale(); stale {
			n.stale++
		}
		rows := make([]Row, len(d.Windows))
		for i, w := range d.Windows {
			rows[i] = RowOf(d.Site.in, w, &d.Prospects[i], set)
			rows[i].File = words.Text(words.Harmless(d.Site.name()))
		}
		rows[0].Place = new(report.PlaceOf(d.Site.in, d.Windows, d.Prospects))
		rows[0].Place.File = d.Site.typed()
		return o.writer.Add(rows)
	}
	for d := range forecast.Region(ctx, released(sites), asked) {
		several, err := d.Site.several(d.Err, r.finder)
		if err != nil {
			return errors.Join(err, o.abandon())
		}
		if several == nil {
			err = add(d)
		} else {
			n.left += len(several) - 1
			all := len(several)
			several = o.missing(several)
			n.left, n.before = n.left-all+len(several), n.before+all-len(several)
			for x := range forecast.Region(ctx, released(several), asked) {
				if err = add(x); err != nil {
					break
				}
			}
		}
		if err != nil {
			progress.Clear()
			return errors.Join(o.written(err), o.abandon())
		}
		progress.Step()
	}
	progress.Clear()
	if whole && r.finder != nil && ctx.Err() == nil {
		r.finder.SayUnused()
	}
	return r.end(ctx, p, o, n)
}

// matrix is the answer as a page has it, before the first station.
func (r *run) matrix(options []forecast.Options, settings string) *report.Matrix {
	m := report.NewMatrix(options)
	m.Settings = settings
	if r.sow.Given {
		m.Sow, m.SowDay = report.SowOn, r.out.System().Date(r.sow.AnyYear())
	}
	return m
}

// sites lists the stations of the part asked for, with their places.
func (r *run) sites(p *cli.Program, args []string) ([]*site, error) {
	if len(args) == 0 && r.list == "" {
		return []*site{{program: p, reading: &r.reading}}, nil
	}
	records, err := recordsOf(p, args, r.list)
	if err != nil {
		return nil, err
	}
	if len(records) == 0 {
		return nil, cli.Dataf("", "no station record among the files given")
	}
	r.finder = ask.NewPlaceFinder(p, r.places)
	return sitesOf(p, r.shard.cut(records), r.finder, &r.reading)
}

// keepInputs refuses an output, or its part, that is a file which the run reads: a
// station, a list, a table of places.
func (r *run) keepInputs(p *cli.Program, sites []*site) error {
	if r.out.Output == "" {
		return nil
	}
	reads := []string{r.list, r.places}
	for _, s := range sites {
		reads = append(reads, s.file, filepath.Join(filepath.Dir(s.file), ask.PlacesName))
	}
	for _, name := range files.PartNames(r.out.Output) {
		if in := p.Files.Clash(name, reads, p.Stdin); in != "" {
			return cli.Usagef("write to another file",
				"--output %s would write to %s, which is read: it would be lost", r.out.Output, in)
		}
	}
	return nil
}

// A count counts the stations of a region: those that were answered before this run,
// in it, and that could not be, of those left to this run; and those whose record ended long
// before the as-of day.
type count struct{ before, worked, failed, left, stale int }

// end finishes the output and says what is missing from it.
func (r *run) end(ctx context.Context, p *cli.Program, o *output, n count) error {
	if n.stale > 0 {
		p.Say("%d of %d records end more than %d days before the as-of day: their dates are those of past seasons",
			n.stale, n.worked, ask.StaleDays)
	}
	if n.failed > 0 {
		p.Say("%d of %d stations left out", n.failed, n.left+n.before)
	}
	stopped := n.worked+n.failed < n.left && ctx.Err() != nil
	none := n.worked+n.before == 0 && n.failed > 0
	whole := !stopped && !none && !(r.strict && n.failed > 0)
	if err := o.end(whole); err != nil {
		return err
	}
	hint := ""
	resumable := o.part != nil && o.part.Grows() && o.writer.Begun && o.writer.Form.Back != nil
	switch {
	case stopped:
		if resumable {
			hint = fmt.Sprintf("they are in %s%s; the same command line with --resume does the rest", r.out.Output,
				files.PartEnding)
		}
		return cli.Dataf(hint, "stopped: %d of %d stations are answered", n.worked+n.before, n.left+n.before)
	case none:
		return cli.Dataf("", "no station could be answered")
	case !whole:
		if resumable {
			hint = fmt.Sprintf("the others are in %s%s; correct these and give the same command line with --resume",
				r.out.Output, files.PartEnding)
		}
		return cli.Dataf(hint, "the answer is not complete: %d %s could not be answered", n.failed,
			words.Plural(n.failed, "station", "stations"))
	}
	return nil
}

// An output is where the answer grows: standard output, or a part.
type output struct {
	name   string // "" for standard output
	part   *files.Part
	there  *earlier // of an output that is resumed
	writer out.StreamWriter[Row]
}

// open opens the output and returns the sites that it does not hold yet.
func (o *output) open(resume bool, sites []*site, options []forecast.Options, settings string) ([]*site, error) {
	if o.name == "" {
		return sites, nil
	}
	var keep files.Keep
	var there *earlier
	if resume {
		var species []string
		for _, x := range options {
			species = append(species, x.Species.ID)
		}
		var err error
		if there, err = newEarlier(&o.writer, species, settings); err != nil {
			return nil, err
		}
		keep = there.keep
	}
	var err error
	if o.part, err = files.OpenPart(o.name, keep); err != nil {
		return nil, err
	}
	o.writer.To = o.part
	o.there = there
	return o.missing(sites), nil
}

// missing are the sites that an output which is resumed does not hold.
func (o *output) missing(sites []*site) []*site {
	if o.there == nil {
		return sites
	}
	return slices.DeleteFunc(sites, func(s *site) bool { return o.there.has(s.name()) })
}

// written is an error of writing without the words of the system call; that of a part
// has none.
func (o *output) written(err error) error {
	if err == nil || o.part != nil {
		return err
	}
	return files.CannotWrite("standard output", err)
}

// end writes what is behind the last station and gives a file its name; one that is not
// whole keeps that of a part.
func (o *output) end(whole bool) error {
	if !whole && !o.writer.Headed && !o.writer.Begun {
		if o.part == nil {
			return nil
		}
		return o.part.Drop()
	}
	err := o.written(o.writer.End())
	switch {
	case o.part == nil:
		return err
	case whole && err == nil:
		return o.part.Finish()
	}
	return errors.Join(err, o.part.Close())
}

// abandon closes an output that cannot be written; what it holds can be resumed.
func (o *output) abandon() error {
	if o.part == nil {
		return nil
	}
	return o.part.Close()
}
