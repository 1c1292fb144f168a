package quantity

import (
	"math"
	"strconv"
)

// Percent prints a share with two or three digits, "0.042 %", "4.2 %", "24 %"; less than a hundred-thousandth is "0 %".
func Percent(share float64) string {
	percent := share * 100
	digits := 0
	switch size := math.Abs(percent); {
	case size < 0.001:
		percent = 0
	case math.IsInf(percent, 0):
	case size < 0.1:
		return strconv.FormatFloat(percent, 'g', 2, 64) + " %"
	case size < 9.95:
		digits = 1
	}
	return strconv.FormatFloat(percent, 'f', digits, 64) + " %"
}
