// Package services asks the public services of package fetch for the commands: with a
// cache in a folder of the machine, addresses and contact from flags and environment.
package services

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"
	"time"
	_ "time/tzdata" // zones of forecasts on machines that have none

	"swardcast/climate/fetch"
	"swardcast/climate/stations"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
)

// Names of the variables that are read.
const (
	basesVariable   = "SWARDCAST_BASE"
	contactVariable = "SWARDCAST_CONTACT"
)

// Client returns the client of a command line.
func Client(p *cli.Program, reach cli.Reach) (*fetch.Client, error) {
	dir, err := files.CacheDir(p.Env)
	if err != nil {
		return nil, err
	}
	c := &fetch.Client{
		Store:   &store{files.Cache{Dir: dir, Max: maxPacked}},
		Agent:   p.Name + "/" + strings.Trim(cli.Version(), "()"),
		Contact: p.Env(contactVariable), Offline: reach.Offline, Now: p.Clock,
		Asks: func(address string) { p.Say("asking %s", address) },
	}
	if err := setBases(&c.Bases, fromEnv(p.Env(basesVariable)), basesVariable); err != nil {
		return nil, err
	}
	return c, setBases(&c.Bases, reach.Bases, "--base")
}

// fromEnv reads NAME=ADDRESS pairs with commas between.
func fromEnv(s string) map[string]string {
	bases := map[string]string{}
	for part := range strings.SplitSeq(s, ",") {
		if name, address, _ := strings.Cut(strings.TrimSpace(part), "="); name != "" {
			bases[name] = address
		}
	}
	return bases
}

func setBases(b *fetch.Bases, set map[string]string, where string) error {
	for _, name := range slices.Sorted(maps.Keys(set)) {
		if err := b.Set(fetch.Host(name), set[name]); err != nil {
			return cli.Usagef("--base ncei=https://example.org/,mirror=https://example.org/", "%s: %v", where, err)
		}
	}
	return nil
}

// A store keeps entries in files of a cache: a line of JSON, then the content, packed
// by gzip, whose checksum finds a file that was damaged. A damaged one counts as none.
type store struct{ cache files.Cache }

// Of files: how large packed and unpacked.
const (
	maxPacked   = 64 << 20
	maxUnpacked = 128 << 20
)

func (s *store) Get(key string) (*fetch.Entry, error) {
	packed, err := s.cache.Get(key)
	if packed == nil || err != nil {
		return nil, err
	}
	return unpacked(packed), nil
}

// unpacked is the entry of a file, nil where it is damaged.
func unpacked(packed []byte) *fetch.Entry {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil
	}
	content, err := io.ReadAll(io.LimitReader(z, maxUnpacked+1))
	head, rest, ok := bytes.Cut(content, []byte("\n"))
	var e fetch.Entry
	if err != nil || len(content) > maxUnpacked || !ok || json.Unmarshal(head, &e) != nil {
		return nil
	}
	e.Content = rest
	return &e
}

func (s *store) Put(key string, e *fetch.Entry) error {
	head, err := json.Marshal(e)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	z.Write(head)
	z.Write([]byte("\n"))
	z.Write(e.Content)
	if err := z.Close(); err != nil {
		return err
	}
	return s.cache.Put(key, b.Bytes())
}

func (s *store) Lock(ctx context.Context) (func(), error) { return s.cache.Lock(ctx) }

// ReadStations reads the list of stations from a file of the cache, and when it was
// fetched.
func ReadStations(file []byte) (list []stations.Station, fetched time.Time, err error) {
	e := unpacked(file)
	if e == nil {
		return nil, time.Time{}, errors.New("it is not a file of the cache, or it is damaged")
	}
	list, err = stations.Unpack(e.Content)
	return list, e.Fetched, err
}

// Fault gives an error of a service its hint.
func Fault(err error) error {
	var has *cli.DataError
	switch {
	case err == nil || errors.As(err, &has) || errors.Is(err, context.Canceled):
		return err
	case errors.Is(err, fetch.ErrOffline):
		return cli.Dataf("leave --offline out where there is a network", "%w", err)
	case errors.Is(err, fetch.ErrNoContact):
		return cli.Dataf(
			"set the variable SWARDCAST_CONTACT to your e-mail or web address, which is sent to the service",
			"%w",
			err,
		)
	}
	return cli.Dataf("try again later, or fetch the record by hand (docs/guide.md) and give its FILE", "%w", err)
}
