package recordfile

import (
	"math"
	"slices"
)

// Most rows of most files are plain: a date written as that of the row before, and
// numbers or blanks. They are taken from the buffer as they lie there, many
// at a time. Whatever is not plain is left to [parser.directRow], row by row, which takes
// in plain rows to the same effect: FuzzDirect holds both to the same answer.

// plainColumns are the roles of the columns of a layout whose rows can be plain, nil for
// another layout or options that look at more of a row.
func (p *parser) plainColumns() []role {
	l, o := p.layout, &p.options
	if o.reflected || o.Forecast || o.Until != nil || l.months != nil || l.moment || l.delimiter >= 0x80 ||
		!l.has(roleDate) || !l.has(roleTMax) || !l.has(roleTMin) {
		return nil
	}
	for _, r := range l.roles {
		switch r {
		case roleNone, roleDate, roleTMax, roleTMin, rolePrecip:
		default:
			return nil
		}
	}
	return l.roles
}

// plainRows takes in the next rows, as far as they are plain and in the buffer.
func (p *parser) plainRows() {
	if p.plain == nil || p.has.clock || p.rowCount == 0 || p.lines.err != nil {
		return
	}
	in := p.lines.in
	buffer, _ := in.Peek(in.Buffered())
	before, line := len(p.obs), p.lineAt(p.lines.line())
	used, rows := 0, before
	for rows < maxRows {
		if rows == cap(p.obs) {
			p.obs = slices.Grow(p.obs[:rows], 1)
		}
		o := &p.obs[:rows+1][rows]
		n := p.plainRow(buffer[used:], o)
		if n == 0 {
			break
		}
		rows++
		line++
		o.line = int32(line)
		used += n
	}
	if taken := rows - before; taken > 0 {
		p.obs = p.obs[:rows]
		p.lines.taken += taken
		p.rowCount += taken
		p.past = true
		p.rowLine = p.line()
		p.precip = p.precip || p.has.precip
	}
	in.Discard(used)
}

// plainRow reads the row at the beginning of a text. It returns how long it is with its
// end of line, 0 for one that is not plain.
func (p *parser) plainRow(text []byte, o *observation) int {
	o.precip = math.NaN()
	delimiter := byte(p.layout.delimiter)
	if len(text) == 0 || text[0] == '#' {
		return 0
	}
	i := 0
	for k, r := range p.plain {
		if k > 0 { // behind the delimiter
			i++
		}
		switch r {
		case roleNone:
			for i < len(text) && text[i] != delimiter && text[i] != '\n' && text[i] != '"' {
				i++
			}
		case roleDate:
			if len(text)-i < 10 {
				return 0
			}
			d, ok := p.month.dayIn([10]byte(text[i:]))
			if !ok {
				return 0
			}
			o.date = date{day: d, dayValid: true}
			i += 10
		default:
			v, n, ok := plainCell(text[i:])
			if !ok {
				return 0
			}
			i += n
			switch r {
			case roleTMax, roleTMin:
				if math.Abs(v) >= 99 && missingNumber(v) {
					v = math.NaN()
				}
				if r == roleTMax {
					o.tmax = v
				} else {
					o.tmin = v
				}
			case rolePrecip:
				o.precip = fallen(v)
			}
		}
		if k < len(p.plain)-1 && (i >= len(text) || text[i] != delimiter) {
			return 0
		}
	}
	if i < len(text) && text[i] == delimiter { // cells beyond the header
		for i < len(text) && text[i] != '\n' && text[i] != '"' {
			i++
		}
	}
	if i+1 < len(text) && text[i] == '\r' {
		i++
	}
	if i >= len(text) || text[i] != '\n' {
		return 0
	}
	return i + 1
}

// plainCell reads the number at the beginning of a text, NaN for a blank cell, and how
// long it is. It is false for what [plainNumber] leaves to package strconv; what follows
// the number is not looked at.
func plainCell(text []byte) (v float64, n int, ok bool) {
	i := 0
	negative := len(text) > 0 && text[0] == '-'
	if negative || len(text) > 0 && text[0] == '+' {
		i++
	}
	first := i
	var mantissa int64
	for i < len(text) && text[i]-'0' <= 9 {
		mantissa = mantissa*10 + int64(text[i]-'0')
		i++
	}
	digits, decimals := i-first, 0
	if i < len(text) && text[i] == '.' {
		i++
		point := i
		for i < len(text) && text[i]-'0' <= 9 {
			mantissa = mantissa*10 + int64(text[i]-'0')
			i++
		}
		decimals = i - point
		digits += decimals
	}
	switch {
	case digits > exactDigits:
		return 0, 0, false
	case digits == 0:
		return math.NaN(), 0, i == 0 // a sign or a point alone is no number
	}
	if v = float64(mantissa); decimals > 0 {
		v /= powersOfTen[decimals]
	}
	if negative {
		v = -v
	}
	return v, i, true
}
