package main

import (
	"strings"
	"testing"
)

// What lies behind the largest size must not be lost in silence.
func TestTableTooLarge(t *testing.T) {
	const reading = "2019-09-20,10,22.5\n"
	fits := "date,depth_cm,soil_c\n" + strings.Repeat(reading, 1000)
	if list, err := readProbe(strings.NewReader(fits), "x"); err != nil || len(list) != 1000 {
		t.Errorf("%d readings, %v; want 1000", len(list), err)
	}
	over := fits + strings.Repeat(reading, maxTableBytes/len(reading))
	if list, err := readProbe(strings.NewReader(over), "x"); err == nil || !strings.Contains(err.Error(), "larger than 1 MiB") {
		t.Errorf("%d readings, %v; want the size refused", len(list), err)
	}
}
