package chart

import "strings"

// A face has the measures of a font that text is laid out by, in units of which em make
// the size of the text.
//
//go:generate go run fontgen.go
type face struct {
	em, ascent, descent, height int
	none                        int // advance of a character that the font does not have
	blocks                      []block
	kerns                       map[[2]byte]int16 // of pairs in ASCII
}

// A block has the advances of characters that follow each other.
type block struct {
	first    rune
	advances []uint16
}

// advance is that of a character.
func (f *face) advance(r rune) int {
	for _, b := range f.blocks {
		if i := int(r - b.first); i >= 0 && i < len(b.advances) {
			return int(b.advances[i])
		}
	}
	return f.none
}

// A lettering is a text's style: its size in points, its weight, its ink.
type lettering struct {
	size float64
	bold bool
	ink  Ink
}

func (l lettering) face() *face {
	if l.bold {
		return &bold
	}
	return &regular
}

// points are so many units of the font.
func (l lettering) points(units int) float64 { return float64(units) * l.size / float64(l.face().em) }

func (l lettering) ascent() float64  { return l.points(l.face().ascent) }
func (l lettering) descent() float64 { return l.points(l.face().descent) }

// width is that of the widest line of a text, in points.
func (l lettering) width(text string) float64 {
	widest := 0
	for _, line := range lines(text) {
		width, last := 0, rune(0)
		for _, r := range line {
			width += l.face().advance(r)
			if last > 0 && last < 0x7f && r < 0x7f {
				width += int(l.face().kerns[[2]byte{byte(last), byte(r)}])
			}
			last = r
		}
		widest = max(widest, width)
	}
	return l.points(widest)
}

// height is that of all lines of a text, in points.
func (l lettering) height(text string) float64 {
	f := l.face()
	n := len(lines(text))
	return l.points(n*(f.ascent+f.descent) + (n-1)*(f.height-f.ascent-f.descent))
}

func lines(text string) []string { return strings.Split(strings.TrimRight(text, "\n"), "\n") }
