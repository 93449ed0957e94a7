package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// recordEndings are those of the files that are taken from a directory, with or
// without .gz behind them.
var recordEndings = []string{".csv", ".tsv", ".txt", ".dat"}

// regionFiles returns the station records that arguments and list name, each
// once, in their order: those of a directory or pattern by name. Tables of
// places among them are left out.
func (p *program) regionFiles(args []string, list string) ([]string, error) {
	var files []string
	seen := map[string]string{} // path by what is printed of it
	add := func(name string) error {
		if filepath.Base(name) == placesName {
			return nil
		}
		switch was, ok := seen[harmless(name)]; {
		case ok && was != name:
			return &dataError{fmt.Errorf("two files are both printed as %s", harmless(name)), "rename one of them"}
		case !ok:
			seen[harmless(name)] = name
			files = append(files, name)
		}
		return nil
	}
	expand := func(name string) error {
		if name == "-" {
			return &usageError{"a region takes files, not a record from standard input", "swardcast window -, or --list - for a list of files"}
		}
		found := []string{name}
		if info, err := os.Stat(name); err == nil && info.IsDir() {
			if found, err = recordsIn(name); err != nil {
				return err
			}
		} else if err != nil && strings.ContainsAny(name, "*?[") {
			if found, err = filepath.Glob(name); err != nil {
				return &usageError{fmt.Sprintf("%s: %v", name, err), ""}
			}
			if len(found) == 0 {
				return &dataError{fmt.Errorf("%s: no file has such a name", harmless(name)), ""}
			}
		}
		for _, f := range found {
			if err := add(f); err != nil {
				return err
			}
		}
		return nil
	}
	for _, a := range args {
		if err := expand(a); err != nil {
			return nil, err
		}
	}
	if list == "" {
		return files, nil
	}
	r := p.Stdin
	if list != "-" {
		f, err := os.Open(list)
		if err != nil {
			return nil, fileError(list, err)
		}
		defer f.Close()
		r = f
	}
	names, err := readList(r)
	if err != nil {
		return nil, &dataError{fmt.Errorf("%s: %w", list, err), "a list has the name of one file a line"}
	}
	for _, name := range names {
		if err := expand(name); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// readList reads a list of files, one a line. Blank lines and those behind #
// are left out.
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
		return nil, fileError(dir, err)
	}
	var found []string
	for _, e := range entries {
		name := e.Name()
		ending := strings.ToLower(filepath.Ext(strings.TrimSuffix(name, ".gz")))
		if strings.HasPrefix(name, ".") || name == placesName || e.IsDir() || !slices.Contains(recordEndings, ending) {
			continue
		}
		found = append(found, filepath.Join(dir, name))
	}
	if len(found) == 0 {
		return nil, &dataError{fmt.Errorf("%s: no station record in this directory", dir), "records end in " + strings.Join(recordEndings, ", ") + ", with or without .gz"}
	}
	return found, nil
}

// A shard is one of several parts of a list.
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
func (s *shard) cut(files []string) []string {
	if s.of == 0 {
		return files
	}
	at := func(part int) int { return int(int64(len(files)) * int64(part) / int64(s.of)) }
	return files[at(s.part-1):at(s.part)]
}
