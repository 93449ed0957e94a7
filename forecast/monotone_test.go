package forecast

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
)

// A thin stand is judged in one direction. With more cover seen, whatever digging showed,
// it comes to no less cover, and no sowing is advised where a thinner stand is left. Where
// nobody dug, more cover makes no loss likelier, and time makes none of the same cover less
// likely. Where few seeds were found that does not hold to the last percent: at a cover of
// 10 % a loss has 98 %, at none 96 %.
func TestStandIsMonotone(t *testing.T) {
	s := station(t, 4, 0, 20)
	sow := climate.Date(2003, time.October, 5)
	found := []SeedFound{NoSeed, FewSeeds, ManySeeds}
	before := map[float64]float64{} // chance that most is lost, by cover, undug
	for _, after := range []climate.Day{8, 12, 16, 22, 30} {
		e := ensemble(t, s, 2003, sow+after)
		first, err := e.Outlook(Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		for _, dug := range append([]SeedFound{NotDug}, found...) {
			lastLost, lastFinal, left := 1.0, 0.0, false
			for cover := 0.0; cover <= 1; cover += 0.05 {
				cover := math.Min(1, cover)
				d, err := e.Decide(first, Stand{Cover: cover, Found: dug}, Supply{AtHand: 1})
				if err != nil {
					t.Fatal(err)
				}
				if d.Report.MoreThanCan {
					break // not a stand of this sowing
				}
				lost := d.Report.LostProbability
				if dug == NotDug && lost > lastLost+0.01 {
					t.Errorf("%d days, cover %.2f: lost with %.2f, with less cover %.2f", after, cover, lost, lastLost)
				}
				if final := d.Report.FinalP50; final < lastFinal-0.005 {
					t.Errorf("%d days, %s, cover %.2f: comes to %.2f, with less cover to %.2f", after, dug, cover, final,
						lastFinal)
				}
				lastLost, lastFinal = lost, math.Max(lastFinal, d.Report.FinalP50)
				if left && d.Sows() {
					t.Errorf("%d days, %s, cover %.2f: sow, where a thinner stand is left", after, dug, cover)
				}
				left = left || d.Best.Action == LeaveIt
				if dug == NotDug {
					if was, ok := before[cover]; ok && lost < was-0.01 {
						t.Errorf("%d days, cover %.2f: lost with %.2f, some days before with %.2f", after, cover, lost, was)
					}
					before[cover] = lost
				}
			}
		}
	}
}
