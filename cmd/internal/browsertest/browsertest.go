//go:build !js

// Package browsertest drives headless Chromium for the tests of pages.
package browsertest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// A Browser is headless Chromium with what it complained of.
type Browser struct {
	Context context.Context // of its one tab
	lock    sync.Mutex
	faults  []string // of the console, and requests of a network
}

// New starts Chromium. Where there is none the test is skipped, unless
// SWARDCAST_BROWSER says that it must run.
func New(t testing.TB) *Browser {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("SWARDCAST_BROWSER") != "" {
			t.Fatal("no chromium")
		}
		t.Skip("no chromium")
	}
	options := append(
		chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.DisableGPU,
		chromedp.Flag(
			"disable-quic",
			true,
		),
		chromedp.Flag("disable-component-update", true),
		chromedp.UserDataDir(t.TempDir()),
	)
	ctx, stop := context.WithTimeout(context.Background(), 3*time.Minute)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	b := &Browser{Context: ctx}
	fault := func(text string) {
		b.lock.Lock()
		defer b.lock.Unlock()
		b.faults = append(b.faults, text)
	}
	Call(t, b, network.Enable, network.EnableParams{})
	if err := chromedp.Listen(ctx, func(ev any) {
		switch e := ev.(type) {
		case *runtime.EventExceptionThrown:
			fault("exception " + e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			fault(fmt.Sprint("console ", e.Type))
		case *cdplog.EventEntryAdded:
			fault(e.Entry.Text)
		case *network.EventRequestWillBeSent:
			// The browser's own icons are data; a blob is of the page itself.
			if !strings.HasPrefix(e.Request.URL, "file://") && !strings.HasPrefix(e.Request.URL, "data:") &&
				!strings.HasPrefix(e.Request.URL, "blob:") {
				fault("request of " + e.Request.URL)
			}
		case *cdppage.EventJavascriptDialogOpening:
			fault("dialog " + e.Message)
		}
	}); err != nil {
		t.Fatal(err)
	}
	return b
}

// Check fails the test for every complaint so far.
func (b *Browser) Check(t testing.TB, name string) {
	t.Helper()
	b.lock.Lock()
	defer b.lock.Unlock()
	for _, f := range b.faults {
		t.Errorf("%s: %s", name, f)
	}
	b.faults = nil
}

// Call runs a command of the protocol.
func Call[P, R any](t testing.TB, b *Browser, command cdp.Command[P, R], params P) {
	t.Helper()
	if _, err := chromedp.Call(b.Context, command, params); err != nil {
		t.Fatal(err)
	}
}

// Open shows a page that is given as its text, so many pixels wide.
func (b *Browser) Open(t testing.TB, html string, width int64) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(name, []byte(html), 0o644); err != nil {
		t.Fatal(err)
	}
	b.OpenFile(t, name, width)
}

// OpenFile shows the page in a file, so many pixels wide.
func (b *Browser) OpenFile(t testing.TB, name string, width int64) {
	t.Helper()
	Call(
		t,
		b,
		emulation.SetDeviceMetricsOverride,
		emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1},
	)
	if err := chromedp.Do(b.Context, chromedp.Navigate("file://"+name)); err != nil {
		t.Fatal(err)
	}
}

// Eval evaluates a script in the page.
func Eval[T any](t testing.TB, b *Browser, script string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	out, err := chromedp.Run(b.Context, chromedp.Evaluate[T](script, options...))
	if err != nil {
		t.Fatal(err)
	}
	return out
}
