package report

import (
	"fmt"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Verdicts say what will become of a sowing, before the verb of a stage.
var Verdicts = map[forecast.Verdict]string{
	forecast.Likely: "is likely to", forecast.Doubtful: "may or may not",
	forecast.Unlikely: "is unlikely to", forecast.TooLate: "will not",
}

// pastVerdicts are those of a season that is over, before the participle.
var pastVerdicts = map[forecast.Verdict]string{
	forecast.Likely: "has most likely", forecast.Doubtful: "may or may not have",
	forecast.Unlikely: "has hardly", forecast.TooLate: "has not",
}

// OutlookSentence is what comes of a sowing.
func OutlookSentence(u words.System, in *ask.Input, x *forecast.Outlook) string {
	o := &x.Options
	subject := fmt.Sprintf("%s sown%s on %s at %s", words.Capital(o.Species.Name), Into(o), u.LongDate(x.Sow),
		in.DisplayName())
	chance := "chance " + ChanceOf(x)
	cutoff, known := x.Cutoff.At(0.5)
	if x.Decided && known {
		return fmt.Sprintf("%s %s %s before the cutoff of %s: %s.", subject, pastVerdicts[x.Verdict],
			words.Participles[o.Stage], u.LongDate(cutoff), chance)
	}
	s := fmt.Sprintf("%s %s %s before the cutoff: %s", subject, Verdicts[x.Verdict], words.Verbs[o.Stage], chance)
	if opens, ok := x.Opens.At(0.5); ok && x.Sow+3 < opens {
		s += fmt.Sprintf(", if the host and the heat let it: sowing opens only about %s", u.Date(opens))
	}
	return s + "."
}
