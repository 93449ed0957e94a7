package fetch

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// A Client asks the services. Its zero value asks the live services and keeps nothing.
// Its fields must not change once it is in use.
type Client struct {
	HTTP  *http.Client // whose transport and time limit are used; nil: one with a single connection a host
	Store Store        // nil: kept as long as the client
	Bases Bases
	// Agent names the program that asks, as in "swardcast/1.2"; "": "swardcast".
	Agent string
	// Contact is an e-mail or web address of whoever runs the program. It is sent to
	// the services of forecasts alone, which ask for it. MET Norway answers nobody
	// without one.
	Contact string
	// Limit bounds the time of each answer, from the request to its last byte; 0: a
	// minute for a forecast, five for a record, ten for the list of stations.
	Limit   time.Duration
	Offline bool // answers from the store alone
	// asks whether what the store has is current, however young it is
	Refresh bool
	Asks    func(address string)                       // called before each request; nil: nothing is
	Now     func() time.Time                           // nil: the clock
	Sleep   func(context.Context, time.Duration) error // waits before asking again; nil: by the clock

	memory Memory
}

var (
	// ErrOffline is the error of a client that may not ask for what the store lacks.
	ErrOffline = errors.New("offline, and not fetched before")
	// ErrNotFound is the error of a service that does not have what was asked for.
	ErrNotFound = errors.New("the service does not have it")
	// ErrNoContact is the error of a forecast of MET Norway without [Client.Contact].
	ErrNoContact = errors.New("MET Norway answers only programs that send a contact")
)

// A RefusedError is an answer that is not what was asked for.
type RefusedError struct {
	URL    string
	Reason string
}

func (e *RefusedError) Error() string { return fmt.Sprintf("answer refused: %s (%s)", e.Reason, e.URL) }

// A StatusError is an answer with another status than 200 and 304.
type StatusError struct {
	URL    string
	Status int
	After  time.Duration // how long the service asks to wait; 0: it does not say
}

func (e *StatusError) Error() string {
	s := fmt.Sprintf("the service answered %d", e.Status)
	if text := http.StatusText(e.Status); text != "" {
		s += " " + text
	}
	if e.After > 0 {
		s += fmt.Sprintf(", ask again in %s", e.After.Round(time.Second))
	}
	return s + " (" + e.URL + ")"
}

// Is makes a 404 an ErrNotFound.
func (e *StatusError) Is(target error) bool {
	return target == ErrNotFound && (e.Status == http.StatusNotFound || e.Status == http.StatusGone)
}

// Limits of what is asked and answered.
const (
	maxRedirects   = 3
	maxTries       = 3
	firstWait      = 2 * time.Second // before the second try; four times as long before the third
	maxWait        = time.Minute     // that a service can ask for within one run
	maxHeaderBytes = 64 << 10
)

// ownClient has one connection a host, and none of the answers are unpacked unseen.
var ownClient = &http.Client{Transport: &http.Transport{
	Proxy:                  http.ProxyFromEnvironment,
	DialContext:            (&net.Dialer{Timeout: 15 * time.Second}).DialContext,
	ForceAttemptHTTP2:      true,
	MaxConnsPerHost:        1,
	MaxIdleConns:           1,
	IdleConnTimeout:        10 * time.Second,
	TLSHandshakeTimeout:    15 * time.Second,
	MaxResponseHeaderBytes: maxHeaderBytes,
	DisableCompression:     true,
}}

func (c *Client) now() time.Time {
	if c.Now != nil {
		return c.Now().UTC()
	}
	return time.Now().UTC()
}

func (c *Client) store() Store {
	if c.Store != nil {
		return c.Store
	}
	return &c.memory
}

func (c *Client) sleep(ctx context.Context, d time.Duration) error {
	if c.Sleep != nil {
		return c.Sleep(ctx, d)
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}

// A form is what an answer must be.
type form struct {
	accept  string // header, where it is not */*
	types   []string
	most    int64 // bytes of it, unpacked
	limit   time.Duration
	contact bool // the service wants to know who asks
}

var (
	textTypes = []string{
		"text/plain",
		"text/csv",
		"application/csv",
		"application/octet-stream",
		"binary/octet-stream",
	}
	jsonTypes = []string{"application/json", "application/geo+json", "application/ld+json"}
)

// A reply is an answer whose size, type and length are right. Its content is nil where
// the one that the request names is current.
type reply struct {
	content []byte
	header  http.Header
}

// ask asks one address. known is what the store has of it, or nil. It waits and asks
// again where a service is overloaded or the connection breaks.
func (c *Client) ask(ctx context.Context, address string, f form, known *Entry) (*reply, error) {
	for try := 1; ; try++ {
		r, err := c.once(ctx, address, f, known)
		wait := firstWait << (2 * (try - 1))
		var status *StatusError
		switch {
		case err == nil || ctx.Err() != nil || try == maxTries:
			return r, err
		case errors.As(err, &status) && (status.Status == http.StatusTooManyRequests || status.Status >= 500):
			wait = max(wait, status.After)
		case broken(err):
		default:
			return nil, err
		}
		if wait > maxWait {
			return nil, err
		}
		if err := c.sleep(ctx, wait); err != nil {
			return nil, err
		}
	}
}

// broken reports whether a connection that was there broke.
func broken(err error) bool {
	return errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) || errors.Is(err, syscall.ECONNRESET)
}

// once asks once.
func (c *Client) once(ctx context.Context, address string, f form, known *Entry) (*reply, error) {
	if c.Limit > 0 {
		f.limit = c.Limit
	}
	u, err := url.Parse(address)
	if err != nil || !c.Bases.allows(u) {
		return nil, &RefusedError{address, "it is not an address of a service in use"}
	}
	ctx, cancel := context.WithTimeout(ctx, f.limit)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, err
	}
	c.headers(req, f, known)
	if c.Asks != nil {
		c.Asks(address)
	}
	resp, err := c.client().Do(req)
	if err != nil {
		return nil, plainError(err, address, f)
	}
	defer resp.Body.Close()
	switch {
	case resp.StatusCode == http.StatusNotModified && known != nil:
		return &reply{header: resp.Header}, nil
	case resp.StatusCode != http.StatusOK:
		return nil, &StatusError{
			URL:    address,
			Status: resp.StatusCode,
			After:  c.retryAfter(resp.Header.Get("Retry-After")),
		}
	}
	kind, _, _ := mime.ParseMediaType(resp.Header.Get("Content-Type"))
	if !slices.Contains(f.types, kind) {
		return nil, &RefusedError{address, fmt.Sprintf("it is %q, not one of %s", kind, strings.Join(f.types, ", "))}
	}
	if resp.ContentLength > f.most {
		return nil, &RefusedError{address, fmt.Sprintf("it is longer than %d MiB", f.most>>20)}
	}
	content, err := body(resp, f.most)
	var long *RefusedError
	switch {
	case errors.As(err, &long):
		long.URL = address
		return nil, long
	case err != nil:
		return nil, plainError(err, address, f)
	}
	return &reply{content, resp.Header}, nil
}

// client is the user's with rules for redirects and without cookies.
func (c *Client) client() *http.Client {
	own := *ownClient
	if c.HTTP != nil {
		own = *c.HTTP
	}
	own.Jar = nil
	own.CheckRedirect = func(req *http.Request, via []*http.Request) error {
		req.Header.Del("Referer") // which would carry the position to another host
		switch {
		case !c.Bases.allows(req.URL):
			return &RefusedError{
				via[0].URL.String(),
				"it redirects to " + req.URL.Scheme + "://" + req.URL.Host + ", which is not a service in use",
			}
		case len(via) > maxRedirects:
			return &RefusedError{via[0].URL.String(), fmt.Sprintf("it redirects more than %d times", maxRedirects)}
		}
		return nil
	}
	return &own
}

func (c *Client) headers(req *http.Request, f form, known *Entry) {
	agent := c.Agent
	if agent == "" {
		agent = "swardcast"
	}
	if f.contact && c.Contact != "" {
		agent += " (" + strings.Map(printable, c.Contact) + ")"
	}
	req.Header.Set("User-Agent", agent)
	if f.accept != "" {
		req.Header.Set("Accept", f.accept)
	}
	req.Header.Set("Accept-Encoding", "gzip")
	if known == nil {
		return
	}
	if known.ETag != "" {
		req.Header.Set("If-None-Match", known.ETag)
	}
	if known.LastModified != "" {
		req.Header.Set("If-Modified-Since", known.LastModified)
	}
}

// printable keeps what can stand in a header: ASCII without brackets.
func printable(r rune) rune {
	if r < ' ' || r > '~' || r == '(' || r == ')' || r == '\\' {
		return -1
	}
	return r
}

// body reads an answer of so many bytes at most, packed or not. What is shorter than
// its stated length is io.ErrUnexpectedEOF.
func body(resp *http.Response, most int64) ([]byte, error) {
	tooLong := &RefusedError{Reason: fmt.Sprintf("it is longer than %d MiB", most>>20)}
	packed := &io.LimitedReader{R: resp.Body, N: most + 1}
	var r io.Reader = packed
	switch coding := resp.Header.Get("Content-Encoding"); coding {
	case "", "identity":
	case "gzip":
		unpacked, err := gzip.NewReader(packed)
		if err != nil {
			return nil, unpackError(err)
		}
		r = io.LimitReader(unpacked, most+1)
	default:
		return nil, &RefusedError{Reason: fmt.Sprintf("it is packed by %q, which was not asked for", coding)}
	}
	content, err := io.ReadAll(r)
	switch {
	case int64(len(content)) > most || packed.N <= 0:
		return nil, tooLong
	case err != nil:
		return nil, unpackError(err)
	}
	// A packed answer may go on behind its end.
	if _, err := io.Copy(io.Discard, packed); err != nil {
		return nil, err
	}
	return content, nil
}

func unpackError(err error) error {
	if errors.Is(err, gzip.ErrHeader) || errors.Is(err, gzip.ErrChecksum) {
		return &RefusedError{Reason: "it cannot be unpacked: " + err.Error()}
	}
	return err
}

// plainError takes the words of the transport off an error.
func plainError(err error, address string, f form) error {
	var refused *RefusedError
	if errors.As(err, &refused) {
		return refused
	}
	var whole *url.Error
	if errors.As(err, &whole) {
		err, address = whole.Err, whole.URL
	}
	var dns *net.DNSError
	var timeout net.Error
	switch {
	case errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &dns):
		return fmt.Errorf("no network, or no such host: %s (%s)", dns.Name, address)
	case errors.Is(err, syscall.ECONNREFUSED):
		return fmt.Errorf("the service takes no connection (%s)", address)
	case errors.Is(err, context.DeadlineExceeded) || errors.As(err, &timeout) && timeout.Timeout():
		return fmt.Errorf("the service did not answer in full within %s (%s)", f.limit, address)
	case broken(err):
		return fmt.Errorf("the answer was cut off: %w (%s)", err, address)
	}
	return fmt.Errorf("no answer: %w (%s)", err, address)
}

// retryAfter reads the header of that name: seconds, or a date.
func (c *Client) retryAfter(s string) time.Duration {
	if n, err := strconv.Atoi(strings.TrimSpace(s)); err == nil && n >= 0 {
		return min(time.Duration(n), 1e6) * time.Second
	}
	if t, err := http.ParseTime(s); err == nil {
		return max(0, t.Sub(c.now()))
	}
	return 0
}

// A wanted is something to be had from the store or from the addresses that have it.
type wanted struct {
	key       string
	addresses []string // in the order in which they are asked
	form      form
	young     time.Duration // how long it is current without asking, where the answer does not say
	heeds     bool          // the answer says how long it is current
	hold      error         // why no address may be asked, or nil
	// take checks an answer and returns what is to be kept of it. old is what the
	// store has, or nil.
	take func(ctx context.Context, address string, content []byte, old *Entry) ([]byte, error)
}

// A Source says where something is from, and how old it is.
type Source struct {
	URL     string
	Fetched time.Time // when it was sent
	Checked time.Time // when the service last said that it is current
	// Stale says why it could not be checked; nil where it is current.
	Stale error
}

func (e *Entry) source(stale error) Source {
	return Source{URL: e.URL, Fetched: e.Fetched, Checked: e.Checked, Stale: stale}
}

// have returns something from the store where that is current, else from a service.
// Where no service gives it, it is what the store has, with why; the error is that
// there is nothing.
func (c *Client) have(ctx context.Context, w wanted) (e *Entry, stale, err error) {
	store := c.store()
	if e, err = store.Get(w.key); err != nil {
		return nil, nil, err
	}
	current := func() bool { return e != nil && !c.Refresh && c.now().Before(e.Expires) && c.has(w, e) }
	if current() {
		return e, nil, nil
	}
	if c.Offline {
		w.hold = ErrOffline
	}
	switch {
	case w.hold != nil && e == nil:
		return nil, nil, w.hold
	case w.hold != nil:
		return e, w.hold, nil
	}
	unlock, err := store.Lock(ctx)
	if err != nil {
		return nil, nil, err
	}
	defer unlock()
	// Another run may have asked meanwhile.
	if e, err = store.Get(w.key); err != nil || current() {
		return e, nil, err
	}
	var problems []error
	for _, address := range w.addresses {
		fresh, err := c.askFor(ctx, w, address, e)
		if err == nil {
			return fresh, nil, store.Put(w.key, fresh)
		}
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		problems = append(problems, err)
	}
	problem := joined(problems)
	if e != nil {
		return e, problem, nil
	}
	return nil, nil, problem
}

// has reports whether an entry is of one of the addresses: a base address may have
// been changed.
func (c *Client) has(w wanted, e *Entry) bool { return slices.Contains(w.addresses, e.URL) }

// askFor asks one address and checks what comes.
func (c *Client) askFor(ctx context.Context, w wanted, address string, old *Entry) (*Entry, error) {
	known := old
	if known != nil && known.URL != address {
		known = nil // its ETag is another host's
	}
	r, err := c.ask(ctx, address, w.form, known)
	if err != nil {
		return nil, err
	}
	now := c.now()
	e := &Entry{
		URL:          address,
		ETag:         r.header.Get("ETag"),
		LastModified: r.header.Get("Last-Modified"),
		Fetched:      now,
		Checked:      now,
		Expires:      now.Add(w.young),
	}
	if w.heeds {
		e.Expires = expires(r.header, now, w.young)
	}
	if r.content == nil {
		e.Fetched, e.Content = known.Fetched, known.Content
		if e.ETag == "" {
			e.ETag = known.ETag
		}
		if e.LastModified == "" {
			e.LastModified = known.LastModified
		}
		return e, nil
	}
	if e.Content, err = w.take(ctx, address, r.content, old); err != nil {
		var refused *RefusedError
		if errors.As(err, &refused) && refused.URL == "" {
			refused.URL = address
		}
		return nil, err
	}
	return e, nil
}

// expires is until when an answer is current by its Cache-Control or Expires, within
// ten minutes and a day.
func expires(h http.Header, now time.Time, otherwise time.Duration) time.Time {
	const least, most = 10 * time.Minute, 24 * time.Hour
	young := otherwise
	if t, err := http.ParseTime(h.Get("Expires")); err == nil {
		young = t.Sub(now)
	}
	for part := range strings.SplitSeq(h.Get("Cache-Control"), ",") {
		if age, ok := strings.CutPrefix(strings.TrimSpace(part), "max-age="); ok {
			if n, err := strconv.Atoi(age); err == nil && n >= 0 {
				young = time.Duration(min(n, 1e6)) * time.Second
			}
		}
	}
	return now.Add(min(max(young, least), most))
}

// joined is one error of those that a service and its mirror gave.
func joined(errs []error) error {
	if len(errs) == 1 {
		return errs[0]
	}
	return &severalErrors{errs}
}

type severalErrors struct{ errs []error }

func (e *severalErrors) Error() string {
	var list []string
	for _, x := range e.errs {
		list = append(list, x.Error())
	}
	return strings.Join(list, "; then: ")
}

// Is reports ErrNotFound where no address has it.
func (e *severalErrors) Is(target error) bool {
	return target == ErrNotFound &&
		!slices.ContainsFunc(e.errs, func(x error) bool { return !errors.Is(x, ErrNotFound) })
}

func (e *severalErrors) As(target any) bool {
	return slices.ContainsFunc(e.errs, func(x error) bool { return errors.As(x, target) })
}

// refuse returns a RefusedError whose address is filled in later.
func refuse(format string, args ...any) error {
	return &RefusedError{Reason: fmt.Sprintf(format, args...)}
}

// wholeText refuses what is no text of whole lines: a web page, a half file.
func wholeText(content []byte) error {
	trimmed := bytes.TrimLeft(content, " \t\r\n\xef\xbb\xbf")
	switch {
	case len(trimmed) == 0:
		return refuse("it is empty")
	case trimmed[0] == '<':
		return refuse("it is a web page or XML")
	case trimmed[0] == '{' || trimmed[0] == '[':
		return refuse("it is JSON")
	case content[len(content)-1] != '\n':
		return refuse("it ends within a line")
	}
	return nil
}
