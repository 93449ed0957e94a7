// Package fetchtest is a server on the loopback that answers as the services of
// package fetch do, with invented stations and weather, and with faults. It serves
// tests alone.
//
// The stations' IDs begin with XX, a country code that is not assigned: the layouts want
// eleven characters. They lie on land in eastern Tennessee and in Ireland, where there
// is no such station.
package fetchtest

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"time"
)

// A Server is the services on one address of the loopback, each beneath a path of its
// own name: /ncei/, /mirror/, /nws/, /met/.
type Server struct {
	Now  time.Time // by which records end and forecasts are made
	Days int       // by which records end before Now

	http   *httptest.Server
	mu     sync.Mutex
	faults map[string][]Fault
	log    strings.Builder
	asked  []string
}

// Now is when the server thinks it is where nothing else is said.
var Now = time.Date(2026, time.October, 14, 9, 30, 0, 0, time.UTC)

// New starts a server. Close it.
func New() *Server {
	s := &Server{Now: Now, Days: 3, faults: map[string][]Fault{}}
	s.http = httptest.NewServer(http.HandlerFunc(s.serve))
	return s
}

// Close stops the server.
func (s *Server) Close() { s.http.Close() }

// Base is the base address of a service: "ncei", "mirror", "nws" or "met".
func (s *Server) Base(service string) string { return s.http.URL + "/" + service + "/" }

// Bases are the base addresses as a flag takes them.
func (s *Server) Bases() string {
	var list []string
	for _, name := range []string{"ncei", "mirror", "nws", "met"} {
		list = append(list, name+"="+s.Base(name))
	}
	return strings.Join(list, ",")
}

// A Fault answers in place of the server. right is what the server would answer.
type Fault func(w http.ResponseWriter, r *http.Request, right Answer)

// An Answer is what the server answers.
type Answer struct {
	Type    string
	Content []byte
}

// Break has the next requests of a path, such as /mirror/csv/by_station/XX000000001.csv,
// answered by faults, one each; the one after them is answered rightly.
func (s *Server) Break(path string, faults ...Fault) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.faults[path] = append(s.faults[path], faults...)
}

// Asked returns the paths asked since it was called last, with their queries.
func (s *Server) Asked() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := s.asked
	s.asked = nil
	return list
}

// Conversation returns the requests and the heads of the answers since it was called
// last, without what changes from run to run.
func (s *Server) Conversation() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	text := s.log.String()
	s.log.Reset()
	return strings.ReplaceAll(text, s.http.URL, "http://127.0.0.1:PORT")
}

func (s *Server) serve(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	s.asked = append(s.asked, r.URL.RequestURI())
	fmt.Fprintf(&s.log, "> %s %s\n", r.Method, r.URL.RequestURI())
	for _, name := range []string{"Accept", "Accept-Encoding", "Authorization", "Cookie", "From", "If-Modified-Since", "If-None-Match", "Referer", "User-Agent"} {
		if v := r.Header.Get(name); v != "" {
			fmt.Fprintf(&s.log, "> %s: %s\n", name, v)
		}
	}
	var fault Fault
	if f := s.faults[r.URL.Path]; len(f) > 0 {
		fault, s.faults[r.URL.Path] = f[0], f[1:]
	}
	s.mu.Unlock()
	rec := &recorder{ResponseWriter: w, status: http.StatusOK}
	answer, found := s.answer(r)
	switch {
	case fault != nil:
		fault(rec, r, answer)
	case !found:
		http.NotFound(rec, r)
	case strings.HasPrefix(r.URL.Path, "/met/") && !strings.Contains(r.Header.Get("User-Agent"), "("):
		http.Error(rec, "no contact", http.StatusForbidden)
	default:
		Give(rec, r, answer, s.Now)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	fmt.Fprintf(&s.log, "< %d %s\n", rec.status, http.StatusText(rec.status))
	for _, name := range []string{"Content-Encoding", "Content-Type", "ETag", "Expires", "Last-Modified", "Location", "Retry-After"} {
		if v := rec.Header().Get(name); v != "" {
			fmt.Fprintf(&s.log, "< %s: %s\n", name, v)
		}
	}
	if rec.Header().Get("Content-Encoding") == "" {
		s.log.WriteString(headOf(rec.head.Bytes()))
	}
	s.log.WriteString("\n")
}

// headOf is the first lines of a text, cut.
func headOf(text []byte) string {
	const most, wide = 3, 110
	var b strings.Builder
	for i, line := range strings.SplitN(string(text), "\n", most+1) {
		if i == most || line == "" {
			break
		}
		if len(line) > wide {
			line = line[:wide] + "…"
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

// A recorder notes status and head of an answer.
type recorder struct {
	http.ResponseWriter
	status int
	head   bytes.Buffer
}

func (r *recorder) WriteHeader(status int) {
	r.status = status
	r.ResponseWriter.WriteHeader(status)
}

func (r *recorder) Write(p []byte) (int, error) {
	if room := 400 - r.head.Len(); room > 0 {
		r.head.Write(p[:min(room, len(p))])
	}
	return r.ResponseWriter.Write(p)
}

func (r *recorder) Unwrap() http.ResponseWriter { return r.ResponseWriter }

// Give answers with what is right: with an ETag, 304 where the request names it.
func Give(w http.ResponseWriter, r *http.Request, a Answer, now time.Time) {
	// Without the port, which changes.
	sum := sha256.Sum256(bytes.ReplaceAll(a.Content, []byte(r.Host), nil))
	tag := fmt.Sprintf(`"%x"`, sum[:6])
	h := w.Header()
	h.Set("ETag", tag)
	h.Set("Last-Modified", now.Add(-8*time.Hour).Truncate(24*time.Hour).Format(http.TimeFormat))
	if strings.HasPrefix(r.URL.Path, "/met/") {
		h.Set("Expires", now.Add(31*time.Minute).Format(http.TimeFormat))
	}
	if r.Header.Get("If-None-Match") == tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", a.Type)
	w.Write(a.Content)
}

// Status answers with a status and headers, in pairs.
func Status(status int, header ...string) Fault {
	return func(w http.ResponseWriter, _ *http.Request, _ Answer) {
		for i := 0; i < len(header); i += 2 {
			w.Header().Set(header[i], header[i+1])
		}
		w.WriteHeader(status)
	}
}

// Silent takes the request and answers nothing until the client leaves.
func Silent(_ http.ResponseWriter, r *http.Request, _ Answer) { <-r.Context().Done() }

// Slow answers a little, and then nothing until the client leaves.
func Slow(w http.ResponseWriter, r *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	w.Write(right.Content[:len(right.Content)/3])
	http.NewResponseController(w).Flush()
	<-r.Context().Done()
}

// CutOff closes the connection in the middle of an answer whose length was stated.
func CutOff(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	w.Header().Set("Content-Length", fmt.Sprint(len(right.Content)))
	w.Write(right.Content[:len(right.Content)/2])
	http.NewResponseController(w).Flush()
	panic(http.ErrAbortHandler)
}

// Half answers half of the content, up to within a line, as if it were all.
func Half(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	half := right.Content[:len(right.Content)/2]
	w.Write(half[:bytes.LastIndexByte(half, '\n')-3])
}

// HalfLines answers the first half of the content's lines as if they were all.
func HalfLines(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	half := right.Content[:len(right.Content)/2]
	w.Write(half[:bytes.LastIndexByte(half, '\n')+1])
}

// WrongLength states a length that is too short, so that the content ends within a
// line.
func WrongLength(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	w.Header().Set("Content-Length", fmt.Sprint(len(right.Content)-5))
	w.Write(right.Content[:len(right.Content)-5])
}

// HTML answers with a web page of status 200 and the right type.
func HTML(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	io.WriteString(w, "<!DOCTYPE html>\n<title>Down for maintenance</title>\n")
}

// Page answers with a web page that says that it is one.
func Page(w http.ResponseWriter, _ *http.Request, _ Answer) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	io.WriteString(w, "<!DOCTYPE html>\n<title>Sign in to this network</title>\n")
}

// Bomb answers with a gzip file that is a thousand times as long unpacked.
func Bomb(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	w.Header().Set("Content-Encoding", "gzip")
	z := gzip.NewWriter(w)
	block := bytes.Repeat([]byte("0"), 1<<20)
	for range 200 {
		if _, err := z.Write(block); err != nil {
			return
		}
	}
	z.Close()
}

// Gzip answers rightly, packed.
func Gzip(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	w.Header().Set("Content-Encoding", "gzip")
	z := gzip.NewWriter(w)
	z.Write(right.Content)
	z.Close()
}

// BrokenGzip answers with bytes that are no gzip file.
func BrokenGzip(w http.ResponseWriter, _ *http.Request, right Answer) {
	w.Header().Set("Content-Type", right.Type)
	w.Header().Set("Content-Encoding", "gzip")
	w.Write(right.Content)
}

// Replaced answers with content in which a text is replaced.
func Replaced(old, with string) Fault {
	return func(w http.ResponseWriter, _ *http.Request, right Answer) {
		w.Header().Set("Content-Type", right.Type)
		w.Write(bytes.ReplaceAll(right.Content, []byte(old), []byte(with)))
	}
}

// RedirectTo sends the client to another address.
func RedirectTo(address string) Fault {
	return func(w http.ResponseWriter, r *http.Request, _ Answer) { http.Redirect(w, r, address, http.StatusFound) }
}
