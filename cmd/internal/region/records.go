package region

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/words"
)

// recordEndings are those of the files that are taken from a directory, with or
// without .gz behind them.
var recordEndings = []string{".csv", ".tsv", ".txt", ".dat"}

// records are the station records that a command line names, each once, in their
// order: those of a directory or pattern by name. Tables of places among them are left
// out.
type records struct {
	program *cli.Program
	files   []string
	printed map[string]string // path by what is printed of it
	behind  map[string]string // path by the file behind its links
}

// recordsOf returns the records that arguments and a list name; "-" is the list on
// standard input.
func recordsOf(p *cli.Program, args []string, list string) ([]string, error) {
	r := &records{program: p, printed: map[string]string{}, behind: map[string]string{}}
	for _, name := range args {
		if err := r.expand(name); err != nil {
			return nil, err
		}
	}
	if list == "" {
		return r.files, nil
	}
	in := p.Stdin
	if list != "-" {
		f, err := os.Open(list)
		if err != nil {
			return nil, files.Error(list, err)
		}
		defer f.Close()
		in = f
	}
	names, err := readList(in)
	if err != nil {
		return nil, cli.Dataf("a list has the name of one file a line", "%s: %w", list, err)
	}
	for _, name := range names {
		if err := r.expand(name); err != nil {
			return nil, err
		}
	}
	return r.files, nil
}

// expand adds the records that one name stands for.
func (r *records) expand(name string) error {
	if name == "-" {
		return cli.Usagef("swardcast window -, or --list - for a list of files",
			"a region takes files, not a record from standard input")
	}
	found := []string{name}
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		if found, err = recordsIn(name); err != nil {
			return err
		}
	} else if err != nil && strings.ContainsAny(name, "*?[") {
		if found, err = filepath.Glob(name); err != nil {
			return cli.Usagef("", "%s: %v", name, err)
		}
		if len(found) == 0 {
			return cli.Dataf("", "%s: no file has such a name", words.Harmless(name))
		}
	}
	several := len(found) != 1 || found[0] != name // of a directory or a pattern
	for _, f := range found {
		if several && isAnswer(f) {
			r.program.Say("%s is an answer of this program, not a record: it is left out", words.Harmless(f))
			continue
		}
		if err := r.add(f); err != nil {
			return err
		}
	}
	return nil
}

// allFolders reports whether there are arguments, each a directory.
func allFolders(args []string) bool {
	return len(args) > 0 && !slices.ContainsFunc(args, func(name string) bool {
		info, err := os.Stat(name)
		return err != nil || !info.IsDir()
	})
}

// isAnswer reports whether a file begins as an answer of this command does: an output that
// was written beside the records is no station.
func isAnswer(name string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false // reading it says why
	}
	defer f.Close()
	begin := make([]byte, 512)
	n, err := io.ReadFull(f, begin)
	if n == 0 && err != nil {
		return false
	}
	for _, text := range []string{csvBegins, jsonBegins, textBegins, sownBegins} {
		if strings.HasPrefix(strings.Join(strings.Fields(string(begin[:n])), " "), text) {
			return true
		}
	}
	return false
}

func (r *records) add(name string) error {
	if filepath.Base(name) == ask.PlacesName {
		return nil
	}
	printed := words.Harmless(name)
	switch was, ok := r.printed[printed]; {
	case ok && was != name:
		return cli.Dataf("rename one of them", "two files are both printed as %s", printed)
	case !ok:
		if real, err := filepath.EvalSymlinks(name); err == nil {
			if was, ok := r.behind[real]; ok {
				return cli.Dataf("leave one of them out", "%s and %s are the same file", words.Harmless(was), printed)
			}
			r.behind[real] = name
		}
		r.printed[printed] = name
		r.files = append(r.files, name)
	}
	return nil
}

// readList reads a list of files, one a line. Blank lines and those behind # are left
// out.
func readList(r io.Reader) ([]string, error) {
	var names []string
	lines := bufio.NewScanner(r)
	for n := 1; lines.Scan(); n++ {
		line := lines.Text()
		if n == 1 {
			line = strings.TrimPrefix(line, "\ufeff")
		}
		line = strings.TrimSpace(line)
		if strings.ContainsRune(line, 0) {
			return nil, fmt.Errorf("line %d is not text", n)
		}
		if line != "" && !strings.HasPrefix(line, "#") {
			names = append(names, line)
		}
	}
	return names, lines.Err()
}

// recordsIn returns the station records of a directory, by name.
func recordsIn(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir) // sorted
	if err != nil {
		return nil, files.Error(dir, err)
	}
	var found []string
	for _, e := range entries {
		name := e.Name()
		ending := strings.ToLower(filepath.Ext(strings.TrimSuffix(name, ".gz")))
		if strings.HasPrefix(name, ".") || name == ask.PlacesName || e.IsDir() ||
			!slices.Contains(recordEndings, ending) {
			continue
		}
		found = append(found, filepath.Join(dir, name))
	}
	if len(found) == 0 {
		return nil, cli.Dataf("records end in "+strings.Join(recordEndings, ", ")+", with or without .gz",
			"%s: no station record in this directory", dir)
	}
	return found, nil
}

// What the forms of an answer begin with, of those that could be taken for a record.
const (
	csvBegins  = "file,station_name,latitude,longitude,elevation_m,first_date,"
	jsonBegins = `{"schema":"swardcast.region/`
	textBegins = "Sow at each station between its opening and its last safe date"
	sownBegins = "Sown on "
)

// A shard is one of several parts of a list; the zero shard is the whole.
type shard struct{ part, of int }

func (s *shard) String() string {
	if s.of == 0 {
		return ""
	}
	return fmt.Sprintf("%d/%d", s.part, s.of)
}
func (s *shard) Type() string { return "PART/PARTS" }
func (s *shard) Set(text string) error {
	a, b, ok := strings.Cut(text, "/")
	part, errA := strconv.Atoi(a)
	of, errB := strconv.Atoi(b)
	if !ok || errA != nil || errB != nil || part < 1 || of < part {
		return fmt.Errorf("write which part of how many, such as 3/8")
	}
	s.part, s.of = part, of
	return nil
}

// first reports whether the part is the first one, or the whole.
func (s *shard) first() bool { return s.part <= 1 }

// last reports whether the part is the last one, or the whole.
func (s *shard) last() bool { return s.part == s.of }

// cut returns the shard of a list: parts follow each other, so that their answers put
// together are that of the whole.
func (s *shard) cut(list []string) []string {
	if s.of == 0 {
		return list
	}
	at := func(part int) int { return int(int64(len(list)) * int64(part) / int64(s.of)) }
	return list[at(s.part-1):at(s.part)]
}
