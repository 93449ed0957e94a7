// Webapp writes the app: one HTML file that holds the program, compiled for browsers,
// and answers for a station without a network.
//
//	go run ./cmd/webapp -o swardcast.html
package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"text/template"
	"time"

	"swardcast/climate/fetch"
	"swardcast/climate/stations"
	"swardcast/cmd/internal/app"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/page"
	"swardcast/cmd/internal/services"
)

//go:embed app.html
var appHTML string

//go:embed app.css
var appCSS string

//go:embed app.js
var appJS string

//go:embed worker.js
var workerJS string

func main() {
	output := flag.String("o", "swardcast.html", "`file` to write")
	list := flag.String("stations", "", "`file` with the list of stations, which swardcast station keeps in its cache")
	flag.Parse()
	if err := run(*output, *list); err != nil {
		fmt.Fprintln(os.Stderr, "webapp:", err)
		os.Exit(1)
	}
}

// run builds the engine and writes the page; stationsFile is "" for none.
func run(output, stationsFile string) error {
	runtime, engine, err := build()
	if err != nil {
		return err
	}
	packed, err := pack(engine)
	if err != nil {
		return err
	}
	list, err := readStations(stationsFile)
	if err != nil {
		return err
	}
	html, err := write(runtime, packed, list)
	if err != nil {
		return err
	}
	if err := files.Write(output, html); err != nil {
		return err
	}
	fmt.Printf("%s: %s (engine %s, compressed %s)\n", output, megabytes(html), megabytes(engine), megabytes(packed))
	return nil
}

// stationID stands for that of a station in an address.
const stationID = "STATION"

// A listed is the list of stations as the page holds it.
type listed struct {
	packed  []byte // compressed; nil for none
	fetched string // day
	address string // of a record, stationID for the ID
}

// readStations reads the list that a file of the cache has.
func readStations(name string) (*listed, error) {
	if name == "" {
		return &listed{}, nil
	}
	file, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	list, fetched, err := services.ReadStations(file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	packed, err := pack(stations.Pack(list))
	var live fetch.Bases
	return &listed{packed, fetched.UTC().Format(time.DateOnly), live.RecordAddress(stationID)}, err
}

func megabytes(b []byte) string { return fmt.Sprintf("%.2f MB", float64(len(b))/1e6) }

// build compiles the engine and reads what starts it in a browser, which is of the same
// version of Go.
func build() (runtime string, engine []byte, err error) {
	dir, err := os.MkdirTemp("", "webapp")
	if err != nil {
		return "", nil, err
	}
	defer os.RemoveAll(dir)
	name := filepath.Join(dir, "engine.wasm")
	compile := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", name, "swardcast/cmd/webapp/wasm")
	compile.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	compile.Stderr = os.Stderr
	if err := compile.Run(); err != nil {
		return "", nil, fmt.Errorf("go build: %w", err)
	}
	if engine, err = os.ReadFile(name); err != nil {
		return "", nil, err
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", nil, fmt.Errorf("go env GOROOT: %w", err)
	}
	text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	return string(text), engine, err
}

// pack compresses as browsers unpack by themselves.
func pack(engine []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := io.Copy(w, bytes.NewReader(engine)); err != nil {
		return nil, err
	}
	err = w.Close()
	return b.Bytes(), err
}

// dense writes bytes as text, seven bits a character, most significant first, so that
// the text is in UTF-8 a sixth longer than the bytes; base64 makes them a third longer. A
// character that would not survive in an element of HTML stands 128 higher, which takes
// two bytes and leaves its seven bits as they are.
func dense(content []byte) string {
	const none, enter, less = 0, '\r', '<'
	var b strings.Builder
	b.Grow(len(content) * 6 / 5)
	put := func(v uint) {
		if v == none || v == enter || v == less {
			v += 128
		}
		b.WriteRune(rune(v))
	}
	bits, n := uint(0), 0
	for _, c := range content {
		bits, n = bits<<8|uint(c), n+8
		for n >= 7 {
			n -= 7
			put(bits >> n & 127)
		}
		bits &= 1<<n - 1
	}
	if n > 0 {
		put(bits << (7 - n) & 127)
	}
	return b.String()
}

// A view is what the page is made of.
type view struct {
	Policy   string
	Style    string
	Script   string
	Form     string // questions and fields
	Worker   string // inert: what the worker runs
	Engine   string // inert: compressed, dense
	Stations string // inert: compressed, dense; "" for none
	Version  string
}

// A form is what the script makes the fields of.
type form struct {
	Questions []app.Question `json:"questions"`
	Fields    []app.Field    `json:"fields"`
	Reads     []app.Field    `json:"reads"`
	MaxBytes  int            `json:"maxBytes"`
	Record    string         `json:"record"`  // address of a record, stationID for the ID; "": no list of stations
	Fetched   string         `json:"fetched"` // day of the list
}

// write puts the page together. Its policy lets it run its own script and style, and
// reach nothing.
func write(runtime string, engine []byte, list *listed) ([]byte, error) {
	fields, err := json.Marshal(form{app.Questions(), app.Fields(), app.Reads(), app.MaxBytes, list.address, list.fetched})
	if err != nil {
		return nil, err
	}
	worker := runtime + "\n" + workerJS
	for _, text := range []string{worker, appJS} {
		if strings.Contains(strings.ToLower(text), "</script") {
			return nil, errors.New("a script ends the element that it stands in")
		}
	}
	style := page.Style() + appCSS
	v := view{
		Policy: fmt.Sprintf("default-src 'none'; script-src 'sha256-%s' 'wasm-unsafe-eval'; style-src 'sha256-%s'; "+
			"worker-src blob:; img-src blob:; base-uri 'none'; form-action 'none'", sum(appJS), sum(style)),
		Style: style, Script: appJS, Form: string(fields),
		Worker: worker, Engine: dense(engine), Stations: dense(list.packed),
		Version: template.HTMLEscapeString(cli.Version()),
	}
	t, err := template.New("app").Parse(appHTML)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = t.Execute(&b, v)
	return b.Bytes(), err
}

// sum is the hash by which a policy names a script or a style.
func sum(text string) string {
	s := sha256.Sum256([]byte(text))
	return base64.StdEncoding.EncodeToString(s[:])
}
