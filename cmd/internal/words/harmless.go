package words

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What a file or a file's name holds may be printed, but it must not steer the
// terminal, turn the direction of a line or pass for a line of the program's
// own: control and format characters (Unicode categories Cc and Cf) and the
// separators of lines and paragraphs never reach one.

// Unprintable reports whether a character is one of those.
func Unprintable(r rune) bool { return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) }

// Harmless is a text of one line: what ends lines or jumps becomes a blank, the
// rest of what does not print goes, and bytes that are no UTF-8 become U+FFFD.
func Harmless(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case Unprintable(r):
			return -1
		}
		return r
	}, s)
}

// HarmlessLines is a text of many lines, which end in \n or \r\n. Tabs stay.
func HarmlessLines(text []byte) []byte {
	lines := bytes.SplitAfter(text, []byte("\n"))
	for i, line := range lines {
		body, end := line, []byte(nil)
		for _, e := range []string{"\r\n", "\n"} {
			if bytes.HasSuffix(line, []byte(e)) {
				body, end = line[:len(line)-len(e)], []byte(e)
				break
			}
		}
		lines[i] = append(bytes.Map(func(r rune) rune {
			if r != '\t' && Unprintable(r) {
				return -1
			}
			return r
		}, body), end...)
	}
	return bytes.Join(lines, nil)
}

// HarmlessJSON writes what does not print as \u escapes, which any reader of JSON
// turns back: outside of strings JSON has none but line ends and blanks.
func HarmlessJSON(text []byte) []byte {
	if bytes.IndexFunc(text, func(r rune) bool { return r != '\n' && Unprintable(r) }) < 0 {
		return text
	}
	var b bytes.Buffer
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		switch {
		case r == '\n' || !Unprintable(r):
			b.Write(text[:n])
		case r > 0xffff:
			r -= 0x10000
			fmt.Fprintf(&b, `\u%04x\u%04x`, 0xd800+r>>10, 0xdc00+r&0x3ff)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
		text = text[n:]
	}
	return b.Bytes()
}
