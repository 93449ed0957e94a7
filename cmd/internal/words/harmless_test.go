package words

import (
	"bytes"
	"encoding/json"
	"testing"
)

// Line ends of tables and calendars stay as they are.
func TestHarmlessLines(t *testing.T) {
	const in, want = "a\tb\r\nc\x1bd\re\n\r\n\u202ef", "a\tb\r\ncde\n\r\nf"
	if got := string(HarmlessLines([]byte(in))); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	const text = "§ 80 %, –2.2 °C ██▒▒··\n"
	if got := string(HarmlessLines([]byte(text))); got != text {
		t.Errorf("%q, want %q", got, text)
	}
}

// HarmlessJSON keeps every character of a header, escaped where it does not print.
func TestHarmlessJSON(t *testing.T) {
	const text = "a\u009b\u202eb\u2028\U000e0041\n\x7fé"
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	if err := e.Encode(text); err != nil {
		t.Fatal(err)
	}
	written := HarmlessJSON(b.Bytes())
	for _, r := range string(written) {
		if r != '\n' && Unprintable(r) {
			t.Errorf("%U in %q", r, written)
		}
	}
	var back string
	if err := json.Unmarshal(written, &back); err != nil || back != text {
		t.Errorf("%q came back as %q, %v", text, back, err)
	}
}
