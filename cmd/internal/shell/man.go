package shell

import (
	"bytes"
	"fmt"
	"strings"

	"swardcast/cmd/internal/cli"
)

const manHelp = `The manual page, made from the help of every command

  swardcast man

Examples:
  swardcast man | man -l -
  swardcast man >~/.local/share/man/man1/swardcast.1
`

// man prints the manual page in the macros of man(7).
func man(p *cli.Program, args []string) error {
	if len(args) > 0 {
		return cli.Usagef(p.Name+" man", "man takes no argument")
	}
	return p.Print(manual(p))
}

// manual is the help of the program and of every command as a page for man. Lines of a
// help that begin with a blank are set as they stand, the others are filled.
func manual(p *cli.Program) []byte {
	var b bytes.Buffer
	top := p.TopHelp()
	about, rest, _ := strings.Cut(top, "\n\n")
	what, _, _ := strings.Cut(about, ". ")
	fmt.Fprintf(&b, ".TH %s 1 \"\" \"%s\" \"User Commands\"\n", strings.ToUpper(p.Name),
		quoted(p.Name+" "+cli.Version()))
	what = strings.TrimPrefix(strings.Join(strings.Fields(what), " "), "Swardcast ")
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", p.Name, plain(what))
	fmt.Fprintf(&b, ".SH DESCRIPTION\n")
	text(&b, about+"\n\n"+rest)
	fmt.Fprintf(&b, ".SH COMMANDS\n")
	for _, c := range p.Commands {
		fmt.Fprintf(&b, ".SS \"%s\"\n", quoted(strings.TrimSpace(p.Name+" "+c.Name+" "+c.Usage)+" [flags]"))
		var examples strings.Builder
		for _, e := range c.Examples {
			if !e.Hidden {
				fmt.Fprintf(&examples, "  %s %s\n", p.Name, strings.ReplaceAll(e.Line, "\n", "\n      "))
			}
		}
		text(
			&b,
			strings.Join([]string{c.Summary, c.Help, "Examples:\n", examples.String(), c.Epilogue, "Flags:"}, "\n\n"),
		)
		for line := range strings.Lines(c.FlagUsages(0)) {
			flag, usage, _ := strings.Cut(strings.TrimSpace(line), "   ")
			fmt.Fprintf(&b, ".TP\n\\fB%s\\fR\n%s\n", plain(flag), plain(strings.TrimSpace(usage)))
		}
	}
	for _, x := range Extras() {
		if x.Help != "" {
			fmt.Fprintf(&b, ".SS \"%s\"\n", quoted(p.Name+" "+x.Name))
			text(&b, x.Help)
		}
	}
	return b.Bytes()
}

// text writes paragraphs.
func text(b *bytes.Buffer, s string) {
	const (
		none = iota
		filled
		standing
	)
	in, first := none, true
	paragraph := func() { // a heading has one of its own
		if !first {
			b.WriteString(".PP\n")
		}
		first = false
	}
	end := func() {
		if in == standing {
			b.WriteString(".EE\n.RE\n")
		}
		in = none
	}
	for line := range strings.Lines(s) {
		line = strings.TrimRight(line, " \n")
		switch {
		case line == "":
			end()
		case line[0] == ' ':
			if in != standing {
				end()
				paragraph()
				b.WriteString(".RS 4\n.EX\n")
				in = standing
			}
			b.WriteString(plain(strings.TrimPrefix(line, "  ")) + "\n")
		default:
			if in != filled {
				end()
				paragraph()
				in = filled
			}
			b.WriteString(plain(line) + "\n")
		}
	}
	end()
}

// plain is a text in which nothing is a request or an escape.
func plain(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}

// quoted is plain, as an argument of a request between quotation marks.
func quoted(s string) string { return strings.ReplaceAll(plain(s), `"`, `\(dq`) }
