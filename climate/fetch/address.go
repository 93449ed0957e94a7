package fetch

import (
	"fmt"
	"net"
	"net/url"
	"slices"
	"strings"
)

// A Host names one of the services that a client asks.
type Host string

// The hosts.
const (
	NCEI   Host = "ncei"   // list of stations, inventory, records
	Mirror Host = "mirror" // the same files in a public bucket
	NWS    Host = "nws"    // US National Weather Service
	MET    Host = "met"    // MET Norway
)

// Hosts returns every host.
func Hosts() []Host { return []Host{NCEI, Mirror, NWS, MET} }

// live are the addresses of the live services.
var live = map[Host]string{
	NCEI:   "https://www.ncei.noaa.gov/",
	Mirror: "https://noaa-ghcn-pds.s3.amazonaws.com/",
	NWS:    "https://api.weather.gov/",
	MET:    "https://api.met.no/",
}

// Bases are the base addresses of the hosts. The zero value has those of the live
// services.
type Bases struct {
	set map[Host]*url.URL
}

// Set replaces the base address of a host: a mirror, or a server on this machine. It
// returns an error where the address is not https, unless it is http to the loopback.
func (b *Bases) Set(h Host, address string) error {
	if !slices.Contains(Hosts(), h) {
		return fmt.Errorf("unknown service %q; it is one of ncei, mirror, nws, met", h)
	}
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return fmt.Errorf("%q is not the base address of a service, such as https://example.org/weather/", address)
	}
	if u.Scheme != "https" && !(u.Scheme == "http" && loopback(u.Hostname())) {
		return fmt.Errorf(
			"%q is not https; http is allowed to this machine only, such as http://127.0.0.1:8080/",
			address,
		)
	}
	if !strings.HasSuffix(u.Path, "/") {
		u.Path += "/"
	}
	if b.set == nil {
		b.set = map[Host]*url.URL{}
	}
	b.set[h] = u
	return nil
}

func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// base returns the base address of a host.
func (b *Bases) base(h Host) *url.URL {
	if u, ok := b.set[h]; ok {
		return u
	}
	u, err := url.Parse(live[h])
	if err != nil {
		panic("fetch: " + err.Error())
	}
	return u
}

// at returns the address of a path beneath the base of a host.
func (b *Bases) at(h Host, path string) string {
	u := *b.base(h)
	u.Path += path
	return u.String()
}

// allows reports whether a client may ask an address: one with the scheme, host and
// port of a base address.
func (b *Bases) allows(u *url.URL) bool {
	return slices.ContainsFunc(Hosts(), func(h Host) bool {
		base := b.base(h)
		return u.Scheme == base.Scheme && strings.EqualFold(u.Host, base.Host) && u.User == nil
	})
}

// of reports whether an address has the scheme, host and port of one host.
func (b *Bases) of(h Host, u *url.URL) bool {
	base := b.base(h)
	return u.Scheme == base.Scheme && strings.EqualFold(u.Host, base.Host) && u.User == nil
}
