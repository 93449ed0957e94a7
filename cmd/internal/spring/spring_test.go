package spring_test

import (
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/spring"
)

type answer struct {
	Season  int
	Species []struct {
		ID       string
		From     *climate.Day                         `json:"sow_from"`
		Until    *climate.Day                         `json:"sow_until"`
		Dormant  struct{ P10, P50, P90 *climate.Day } `json:"dormant_opens"`
		LetGo    *climate.Day                         `json:"let_go_before_sowing"`
		Wakes    struct{ P10, P50, P90 *climate.Day } `json:"host_wakes"`
		ByDate   []struct{ Sow climate.Day }          `json:"by_date"`
		CanSleep bool                                 `json:"can_be_dormant"`
	}
}

func TestForms(t *testing.T) {
	clitest.Forms(t, spring.Command, nil)
	clitest.Forms(t, spring.Command, nil, "--host", "none", "--species", "tall-fescue,perennial-ryegrass")
}

// The headline has the dates of the JSON, and only where it is a lawn a time to sow.
func TestHeadline(t *testing.T) {
	var host, lawn answer
	clitest.JSON(t, &host, spring.Command, nil, "--as-of", "2019-10-15")
	h := host.Species[0]
	text := clitest.Answer(t, spring.Command, nil, "--as-of", "2019-10-15")
	if h.LetGo == nil || h.From != nil || len(h.ByDate) != 0 ||
		!strings.HasPrefix(text, "Let the perennial ryegrass go by "+h.LetGo.Format("Jan 2")+": the bermudagrass wakes about "+h.Wakes.P50.Format("Jan 2")) {
		t.Errorf("%+v\n%s", h, text)
	}
	args := []string{"--as-of", "2019-10-15", "--host", "none", "--species", "tall-fescue"}
	clitest.JSON(t, &lawn, spring.Command, nil, args...)
	l := lawn.Species[0]
	text = strings.Join(strings.Fields(clitest.Answer(t, spring.Command, nil, args...)), " ")
	if l.From == nil || !l.CanSleep || l.LetGo != nil || !strings.Contains(text, l.From.Format("Jan 2")) {
		t.Errorf("%+v\n%s", l, text)
	}
	if l.Dormant.P50 != nil && !strings.Contains(text, "Dormant seeding from about "+l.Dormant.P50.Format("Jan 2")) {
		t.Error(text)
	}
	if rye := clitest.Answer(t, spring.Command, nil, "--as-of", "2019-10-15", "--host", "none"); strings.HasPrefix(rye, "Dormant") ||
		!strings.Contains(rye, "disputed") {
		t.Error(rye)
	}
}
