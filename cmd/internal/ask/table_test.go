package ask

import (
	"strings"
	"testing"

	"swardcast/cmd/internal/files"
)

// What lies behind the largest size must not be lost in silence.
func TestTableTooLarge(t *testing.T) {
	const reading = "2019-09-20,10,22.5\n"
	fits := "date,depth_cm,soil_c\n" + strings.Repeat(reading, 1000)
	if list, err := ReadProbe(strings.NewReader(fits), "x"); err != nil || len(list) != 1000 {
		t.Errorf("%d readings, %v; want 1000", len(list), err)
	}
	over := fits + strings.Repeat(reading, files.MaxTableBytes/len(reading))
	if list, err := ReadProbe(strings.NewReader(over), "x"); err == nil || !strings.Contains(err.Error(),
		"larger than 1 MiB") {
		t.Errorf("%d readings, %v; want the size refused", len(list), err)
	}
}
