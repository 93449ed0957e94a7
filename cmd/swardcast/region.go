package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"iter"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"slices"
	"syscall"

	"github.com/spf13/pflag"

	"swardcast/climate/recordfile"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

var regionCommand = &command{
	name:    "region",
	summary: "The same window for many stations: a table, a map file",
	usage:   "[FILE|DIRECTORY|PATTERN...]",
	help: `Works out the seeding window of every station and species: a row each, in the
order of the stations. A directory stands for the records in it (.csv, .tsv,
.txt, .dat, packed with gzip or not), --list for the files it names, one a
line. A table stations.csv beside the records, or --places, tells where they
are from: station,name,latitude,longitude,elevation_m,temp_unit, of which the
first names the file, and a blank leaves what the file says.

A station that cannot be answered is reported and left out. The status is 1
only if none could be answered; with --strict, if any could not.

With --output FILE the answer grows in FILE.part, a station at a time, and is
renamed to FILE when it is whole. A run that was stopped is taken up by the
same command line with --resume, which does the stations that are not there
yet, in FILE.part or, where there is none, in FILE. With --shard 3/8 it does
the third of eight parts of the stations; the answers of all parts in CSV, JSON
lines or text, one behind the other, are that of the whole.

Examples:
  swardcast region stations/ --format csv -o windows.csv
  swardcast region stations/ --format csv -o windows.csv --resume
  swardcast region 'n*.csv' south/ --species all --format geojson -o map.geojson
  swardcast region stations/ --species all --format html -o region.html
  swardcast region --list stations.txt --shard 3/8 --format jsonl -o 3.jsonl
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		r := &regionRun{}
		r.declare(f)
		return func(p *program, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			// A second Ctrl-C ends the program at once.
			context.AfterFunc(ctx, stop)
			// A station leaves some MB behind and little stays: at the usual
			// setting memory would be cleared once a station.
			if os.Getenv("GOGC") == "" {
				defer debug.SetGCPercent(debug.SetGCPercent(400))
			}
			return p.region(ctx, args, r)
		}
	},
}

// A regionRun is what is asked of a region.
type regionRun struct {
	list, places   string
	jobs           int
	shard          shard
	resume, strict bool
	reading        stationFlags // no place: it is that of one station
	turf           turfFlags
	out            outputFlags
}

func (r *regionRun) declare(f *pflag.FlagSet) {
	f.StringVar(&r.list, "list", "", "`file` that names the records, one a line; - for standard input")
	f.StringVar(&r.places, "places", "", "`file` with the table of places, instead of the "+placesName+" beside the records")
	f.IntVar(&r.jobs, "jobs", 0, "`stations` worked on at a time (default as many as there are processors)")
	f.Lookup("jobs").DefValue = "0"
	f.Var(&r.shard, "shard", "do only this part of the stations, such as 3/8")
	f.BoolVar(&r.resume, "resume", false, "go on with an output that is partly there")
	f.BoolVar(&r.strict, "strict", false, "status 1 where any station cannot be answered; the output then stays a part")
	r.turf.declare(f)
	f.Lookup("species").Usage += "; all for every one"
	r.turf.declareConfidence(f)
	r.turf.declareSeason(f)
	r.reading.declareReading(f)
	r.out.declare(f, "text", "csv", "jsonl", "geojson", "html")
	f.Lookup("units").Hidden = true // no form of this answer has a unit
	f.Lookup("output").Usage = "`file` to write, under the name FILE.part until it is whole (default standard output)"
}

// A regionSite is a station of the region on its way through.
type regionSite struct {
	program *program
	run     *regionRun
	file    string // "" for the demo station
	place   stationPlace
	told    bool // place is known
	in      *stationInput
}

// Station implements forecast.Site.
func (s *regionSite) Station(context.Context) (*forecast.Station, error) {
	flags, args := s.run.reading, []string{s.file}
	if s.file == "" {
		args = nil
	}
	if s.told && s.place.unit != "" {
		flags.unit = newChoice(string(s.place.unit), words(recordfile.Units())...)
	}
	in, err := s.program.openRecord(args, &flags)
	if err != nil {
		return nil, err
	}
	if s.told {
		s.place.over(&in.checked.Place)
	}
	if in.checked.Place.Latitude == nil {
		return nil, &dataError{in.needLatitude(), "give it in " + placesName + " beside the record: station,latitude"}
	}
	ready, err := in.ready()
	if errors.Is(err, forecast.ErrHemisphere) {
		err = &dataError{err, "correct its latitude in " + placesName}
	}
	if err != nil {
		return nil, err
	}
	s.in = ready
	return ready.Station, nil
}

// settings tells what the answers rest on, as one text of every row: an output
// that is gone on with, or put together, must not mix them.
func (r *regionRun) settings(o *forecast.Options) string {
	c := func(v float64) string { s, _ := number(v).MarshalCSV(); return s }
	freeze := float64(turf.KillingFreezeC)
	if o.FreezeC != nil {
		freeze = *o.FreezeC
	}
	s := fmt.Sprintf("host=%s stage=%s cutoff=%s freeze_c=%s open%d_c=%s dormancy%d_c=%s completeness=%s trend=%s confidence=%s",
		o.Host.ID, o.Stage, o.Cutoff, c(freeze), o.Host.Open.Depth, c(o.Host.Open.TempC), o.Host.Dormancy.Depth, c(o.Host.Dormancy.TempC),
		o.Completeness.Name, o.Trend, c(o.Confidence))
	if o.FirstSeason != 0 {
		s += fmt.Sprintf(" years=%d-%d", o.FirstSeason, o.LastSeason)
	}
	if o.Season != 0 {
		s += fmt.Sprintf(" season=%d", o.Season)
	}
	if r.reading.asOf.set {
		s += " as_of=" + r.reading.asOf.day.String()
	}
	if o.Unwatered {
		s += " unwatered"
	}
	if r.reading.unit.value != string(recordfile.Auto) {
		s += " temp_unit=" + r.reading.unit.value
	}
	for _, k := range slices.Sorted(maps.Keys(r.reading.columns)) {
		s += fmt.Sprintf(" %s=%q", k, r.reading.columns[k])
	}
	return s
}

// ownFigures tells species whose figures are the user's own apart from the
// built-in ones, and from others of the same ID.
func ownFigures(options []forecast.Options) string {
	s := ""
	for _, o := range options {
		if sp, ok := turf.Find(o.Species.ID); !ok || sp != o.Species {
			sum := sha256.Sum256(fmt.Appendf(nil, "%+v", o.Species))
			s += fmt.Sprintf(" %s=%x", o.Species.ID, sum[:4])
		}
	}
	return s
}

// region answers for every station until ctx is done.
func (p *program) region(ctx context.Context, args []string, r *regionRun) (err error) {
	if r.jobs < 0 {
		return &usageError{fmt.Sprintf("%d stations at a time cannot be", r.jobs), "leave --jobs out for as many as there are processors"}
	}
	if i := slices.Index(r.turf.species, "all"); i >= 0 {
		var all []string
		for _, sp := range turf.All() {
			all = append(all, sp.ID)
		}
		r.turf.species = slices.Replace(r.turf.species, i, i+1, all...)
	}
	options, err := r.turf.options()
	if err != nil {
		return err
	}
	if r.out.output == "-" {
		r.out.output = "" // standard output
	}
	var form regionForm
	settings := r.settings(&options[0]) + ownFigures(options)
	text := &textForm{confidence: r.turf.confidence, names: map[string]string{}}
	var species []string
	for _, o := range options {
		species = append(species, o.Species.ID)
		text.names[o.Species.ID] = o.Species.Name
	}
	out := &regionOutput{to: p.Stdout, name: r.out.output, first: r.shard.first(), last: r.shard.last()}
	switch r.out.format.value {
	case "csv":
		form = csvForm{}
	case "jsonl":
		form = linesForm{}
	case "html":
		form = newPageForm(options, text.middle(), settings)
		out.first, out.last = true, true // parts of a page cannot stand behind each other
	case "geojson":
		form = geoForm{}
		out.first, out.last = true, true // nor those of a JSON text
	default:
		form = text
	}
	out.form = form
	switch {
	case r.resume && r.out.output == "":
		return &usageError{"--resume without an output to go on with", "give it as in --output windows.csv"}
	case r.resume && (r.out.format.value == "text" || r.out.format.value == "html"):
		return &usageError{"--resume cannot go on with a text or a page", "--format csv, jsonl or geojson"}
	}
	sites, err := p.regionSites(args, r)
	if err != nil {
		return err
	}
	if err := r.keepsInputs(sites); err != nil {
		return err
	}
	done := map[string]bool{}
	if err := out.open(r.resume, species, settings, done); err != nil {
		return err
	}
	total := len(sites)
	left := slices.DeleteFunc(sites, func(s *regionSite) bool {
		return done[harmless(s.file)] || done[cellText(harmless(s.file))]
	})
	n := regionCount{before: total - len(left), left: len(left)}
	progress := p.progress("stations", len(left))
	if out.name == "" && p.isTerminal(p.Stdout) {
		progress.to = nil // the rows themselves show how far it is
	}
	asked := forecast.RegionOptions{Options: options, Jobs: r.jobs}
	if r.reading.asOf.set {
		asked.AsOf = &r.reading.asOf.day
	}
	for d := range forecast.Region(ctx, released(left), asked) {
		if d.Err != nil {
			n.failed++
			if d.Station != nil {
				d.Err = seasonsError(d.Site.in, d.Err)
			}
			progress.clear()
			p.report(d.Err)
			progress.step()
			continue
		}
		n.worked++
		rows := make([]regionRow, len(d.Windows))
		for i, w := range d.Windows {
			rows[i] = rowOf(d.Site.in, w, settings)
		}
		if err := out.add(rows); err != nil {
			progress.clear()
			return errors.Join(outputError(out.name, err), out.abandon())
		}
		progress.step()
	}
	progress.clear()
	return p.regionEnd(ctx, r, out, n)
}

// keepsInputs refuses an output, or its part, that is a file which the run reads:
// a station, a list, a table of places.
func (r *regionRun) keepsInputs(sites []*regionSite) error {
	if r.out.output == "" {
		return nil
	}
	for _, name := range []string{r.out.output, r.out.output + partEnding} {
		to, err := os.Stat(name)
		if err != nil || !to.Mode().IsRegular() {
			continue
		}
		reads := []string{r.list, r.places}
		for _, s := range sites {
			reads = append(reads, s.file, filepath.Join(filepath.Dir(s.file), placesName))
		}
		for _, in := range reads {
			if from, err := os.Stat(in); err == nil && os.SameFile(from, to) {
				return &usageError{fmt.Sprintf("--output %s would write to %s, which is read: it would be lost", r.out.output, in), "write to another file"}
			}
		}
	}
	return nil
}

// A regionCount counts the stations of a region: those that were answered before
// this run, in it, and that could not be, of those left to this run.
type regionCount struct{ before, worked, failed, left int }

// regionEnd finishes the output and says what is missing from it.
func (p *program) regionEnd(ctx context.Context, r *regionRun, out *regionOutput, n regionCount) error {
	if n.failed > 0 {
		fmt.Fprintf(p.Stderr, "swardcast: %d of %d stations left out\n", n.failed, n.left+n.before)
	}
	stopped := n.worked+n.failed < n.left && ctx.Err() != nil
	none := n.worked+n.before == 0 && n.failed > 0
	whole := !stopped && !none && !(r.strict && n.failed > 0)
	if err := out.finish(whole); err != nil {
		return outputError(out.name, err)
	}
	kept := out.file != nil && out.some && r.out.format.value != "text"
	switch {
	case stopped:
		e := &dataError{err: fmt.Errorf("stopped: %d of %d stations are answered", n.worked+n.before, n.left+n.before)}
		if kept {
			e.hint = fmt.Sprintf("they are in %s%s; the same command line with --resume does the rest", r.out.output, partEnding)
		}
		return e
	case none:
		return &dataError{errors.New("no station could be answered"), ""}
	case !whole:
		e := &dataError{err: fmt.Errorf("the answer is not whole: %d %s could not be answered", n.failed, plural(n.failed, "station", "stations"))}
		if kept {
			e.hint = fmt.Sprintf("the others are in %s%s; mend these and give the same command line with --resume", r.out.output, partEnding)
		}
		return e
	}
	return nil
}

// regionSites lists the stations of the part asked for, with their places.
func (p *program) regionSites(args []string, r *regionRun) ([]*regionSite, error) {
	if len(args) == 0 && r.list == "" {
		return []*regionSite{{program: p, run: r}}, nil
	}
	files, err := p.regionFiles(args, r.list)
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, &dataError{errors.New("there is no station in what was given"), ""}
	}
	byDir := map[string]places{}
	var told places
	if r.places != "" {
		if told, err = openPlaces(r.places); err != nil {
			return nil, err
		}
		if told == nil {
			return nil, fileError(r.places, os.ErrNotExist)
		}
	}
	var sites []*regionSite
	for _, f := range r.shard.cut(files) {
		from, dir := told, filepath.Dir(f)
		if r.places == "" {
			var known bool
			if from, known = byDir[dir]; !known {
				if from, err = openPlaces(filepath.Join(dir, placesName)); err != nil {
					return nil, err
				}
				byDir[dir] = from
			}
		}
		s := &regionSite{program: p, run: r, file: f}
		s.place, s.told = from.of(f)
		sites = append(sites, s)
	}
	return sites, nil
}

// released gives the sites one after the other and keeps none of them, so that
// what they have read does not stay.
func released(sites []*regionSite) iter.Seq[*regionSite] {
	return func(yield func(*regionSite) bool) {
		for i, s := range sites {
			sites[i] = nil
			if !yield(s) {
				return
			}
		}
	}
}

// outputError is an error of writing without the words of the system call.
func outputError(name string, err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	if name == "" {
		name = "standard output"
	}
	return &dataError{fmt.Errorf("%s cannot be written: %w", name, err), ""}
}
