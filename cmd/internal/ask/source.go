package ask

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"slices"
	"time"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
)

// A source is a file or a stream that a record is read from.
type source struct {
	name string
	open func(read func(io.Reader) error) error
}

// keep holds what is read of a source, so that it can be read again.
func (s *source) keep() error {
	var text []byte
	err := s.open(func(r io.Reader) (err error) {
		text, err = io.ReadAll(io.LimitReader(r, maxKeptBytes))
		return err
	})
	s.open = func(read func(io.Reader) error) error { return read(bytes.NewReader(text)) }
	return err
}

// maxKeptBytes is more than a record's file can be long.
const maxKeptBytes = 257 << 20

const standardInput = "standard input"

// sourcesOf are what the arguments name, or what is piped in; nil for neither.
func sourcesOf(p *cli.Program, args []string) ([]source, error) {
	if len(args) == 0 {
		piped := pipedIn(p)
		if piped == nil {
			return nil, nil
		}
		p.Say("no FILE given: reading the record that is piped in")
		return []source{{standardInput, func(read func(io.Reader) error) error { return read(piped) }}}, nil
	}
	var list []source
	for i, name := range args {
		switch {
		case slices.Contains(args[:i], name):
			return nil, cli.Usagef("", "%s is named twice", name)
		case name == "-":
			list = append(list,
				source{standardInput, func(read func(io.Reader) error) error { return read(p.Stdin) }})
		default:
			list = append(list,
				source{name, func(read func(io.Reader) error) error { return p.Files.Read(name, read) }})
		}
	}
	return list, nil
}

// patience is how long a pipe may say nothing before the program says that it waits.
const patience = 2 * time.Second

// pipedIn is what is piped or redirected into the program, nil where nothing is: a
// terminal, a device, or a pipe that ends at once.
func pipedIn(p *cli.Program) io.Reader {
	if p.Stdin == nil {
		return nil
	}
	if f, ok := p.Stdin.(*os.File); ok {
		if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice != 0 || info.IsDir() {
			return nil
		}
	}
	in := bufio.NewReader(p.Stdin)
	begun := make(chan error, 1)
	go func() {
		_, err := in.Peek(1)
		begun <- err
	}()
	var err error
	select {
	case err = <-begun:
	case <-time.After(patience):
		p.Say("no FILE given: waiting for a record on standard input (name the FILE, or end the input)")
		err = <-begun
	}
	if err == io.EOF {
		return nil
	}
	return in
}

// readAll reads the sources and joins them.
func readAll(p *cli.Program, from []source, how *Reading) (*Input, error) {
	if len(from) > 1 {
		return readSeveral(p, from, how)
	}
	var file *recordfile.File
	err := from[0].open(func(r io.Reader) (err error) {
		file, err = readFile(r, from[0].name, how)
		return err
	})
	if err != nil {
		return nil, err
	}
	return newInput(file, from[0].name, how)
}
