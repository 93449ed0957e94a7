//go:build !js

package chart

import (
	"bytes"
	"math"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
)

// pictureScale is how many pixels a point has, which gives a slide 1600 × 900.
const pictureScale = 2

// PNG draws the chart as a picture, its title above it.
func (c *Chart) PNG() ([]byte, error) {
	size := c.slide()
	p := &pixels{Context: gg.NewContext(pictureScale*int(size.Width), pictureScale*int(size.Height)),
		height: size.Height}
	p.SetRGB255(0xff, 0xff, 0xff)
	p.Clear()
	p.SetLineCapButt()
	c.titled(p, size)
	if p.err != nil {
		return nil, p.err
	}
	var b bytes.Buffer
	err := p.EncodePNG(&b)
	return b.Bytes(), err
}

// Pixels are a picture that is drawn on. They implement surface.
type pixels struct {
	*gg.Context
	height float64 // points
	err    error   // the first
}

func (p *pixels) at(q point) (x, y float64) {
	return pictureScale * q.x, pictureScale * (p.height - q.y)
}

// path makes the line that is stroked or filled next.
func (p *pixels) path(ink Ink, points []point) {
	p.SetColor(ink)
	for _, q := range points {
		p.LineTo(p.at(q))
	}
}

func (p *pixels) stroke(with pen, line []point) {
	if with.width <= 0 {
		return
	}
	var dashes []float64
	for _, d := range with.dashes {
		dashes = append(dashes, pictureScale*d)
	}
	p.SetDash(dashes...)
	p.SetLineWidth(pictureScale * with.width)
	p.path(with.ink, line)
	p.Stroke()
}

func (p *pixels) fill(ink Ink, polygon []point) {
	p.path(ink, polygon)
	p.ClosePath()
	p.Fill()
}

func (p *pixels) disc(ink Ink, at point, radius float64) {
	p.SetColor(ink)
	x, y := p.at(at)
	p.DrawCircle(x, y, pictureScale*radius)
	p.Fill()
}

func (p *pixels) text(l lettering, at point, upright bool, text string) {
	f, err := fontOf(l)
	if err != nil {
		p.err = err
		return
	}
	p.Push()
	defer p.Pop()
	p.SetFontFace(f)
	p.SetColor(l.ink)
	x, y := p.at(at)
	if upright {
		p.RotateAbout(-math.Pi/2, x, y)
	}
	p.DrawString(text, x, y)
}

func (*pixels) group(string)       {}
func (*pixels) end()               {}
func (*pixels) note(point, string) {}

// parsed are the fonts by weight, regular first.
var parsed = sync.OnceValues(func() (fonts [2]*opentype.Font, err error) {
	for i, ttf := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF} {
		if fonts[i], err = opentype.Parse(ttf); err != nil {
			return fonts, err
		}
	}
	return fonts, nil
})

// fontOf is the font of a lettering.
func fontOf(l lettering) (font.Face, error) {
	fonts, err := parsed()
	if err != nil {
		return nil, err
	}
	f := fonts[0]
	if l.bold {
		f = fonts[1]
	}
	return opentype.NewFace(f, &opentype.FaceOptions{Size: pictureScale * l.size, DPI: 72, Hinting: font.HintingNone})
}
